package render

// Texts are the words on a sheet. The app puts in its own language.
type Texts struct {
	Elevation, Plan, Pictorial                          string // names of the views
	EveryShell                                          string // "every shell", after the elevation's name
	EveryNth                                            string // the same with %d for the step
	Title, Machine, Zones, Shell, Overhang, Scale, Page string // fields of the title block
	Of                                                  string // as in 1 of 2
	MadeWith, Program                                   string
	Decimal                                             string // decimal sign
}

// English is what a sheet says when Texts is nil.
var English = Texts{
	Elevation:  "Elevation, section through the axis",
	Plan:       "Plan",
	Pictorial:  "Pictorial view",
	EveryShell: "every shell",
	EveryNth:   "one shell in %d",
	Title:      "Title",
	Machine:    "Machine",
	Zones:      "Zones",
	Shell:      "Shell",
	Overhang:   "Overhang",
	Scale:      "Scale",
	Page:       "Sheet",
	Of:         "of",
	MadeWith:   "Made with",
	Program:    "Conewright",
	Decimal:    ".",
}
