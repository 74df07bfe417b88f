package render

// Texts are the words on a sheet. The app puts in its own language; what is
// left empty is English.
type Texts struct {
	Elevation, Plan, Pictorial                          string // names of the views
	ElevationMiddle                                     string // the elevation's where no zone has an axis
	EveryShell                                          string // "every shell", after the elevation's name
	EveryNth                                            string // the same with %d for the step
	Title, Machine, Zones, Shell, Overhang, Scale, Page string // fields of the title block
	Of                                                  string // as in 1 of 2
	// What the key says of the signs on the sheet.
	KeyShell, KeyBead, KeyHanging, KeyFree, KeyBridged, KeyMidAir, KeyFinding, KeyCut, KeyAxis, KeyHidden, KeyHead string
	KeyBed, KeyObstacle                                                                                            string
	Bed                                                                                                            string // the name of the small view of the whole bed
	Beyond                                                                                                         string // before how far the part reaches over the travel
	MadeWith, Program                                                                                              string
	Decimal                                                                                                        string // decimal sign
}

// English is what a sheet says when Texts is nil.
var English = Texts{
	Elevation:       "Elevation, section through the axis",
	ElevationMiddle: "Elevation, section through the middle",
	Plan:            "Plan",
	Pictorial:       "Pictorial view",
	EveryShell:      "every shell",
	EveryNth:        "one shell in %d",
	Title:           "Title",
	Machine:         "Machine",
	Zones:           "Zones",
	Shell:           "Shell",
	Overhang:        "Overhang",
	Scale:           "Scale",
	Page:            "Sheet",
	Of:              "of",
	KeyShell:        "shell",
	KeyBead:         "bead laid",
	KeyHanging:      "bead in the air",
	KeyFree:         "hangs free",
	KeyBridged:      "bridged",
	KeyMidAir:       "mid-air start",
	KeyFinding:      "finding",
	KeyCut:          "cut, prints later",
	KeyAxis:         "axis",
	KeyHidden:       "hidden edge",
	KeyHead:         "head",
	KeyBed:          "end of travel",
	KeyObstacle:     "obstacle",
	Bed:             "Bed",
	Beyond:          "beyond the travel",
	MadeWith:        "Made with",
	Program:         "Conewright",
	Decimal:         ".",
}

// filled returns the texts with English in what is empty.
func (t *Texts) filled() *Texts {
	if t == nil {
		return &English
	}
	f := *t
	for _, e := range []struct{ to, from *string }{
		{&f.Elevation, &English.Elevation}, {&f.ElevationMiddle, &English.ElevationMiddle},
		{&f.Plan, &English.Plan}, {&f.Pictorial, &English.Pictorial},
		{&f.EveryShell, &English.EveryShell}, {&f.EveryNth, &English.EveryNth},
		{&f.Title, &English.Title}, {&f.Machine, &English.Machine}, {&f.Zones, &English.Zones},
		{&f.Shell, &English.Shell}, {&f.Overhang, &English.Overhang}, {&f.Scale, &English.Scale},
		{&f.Page, &English.Page}, {&f.Of, &English.Of}, {&f.MadeWith, &English.MadeWith},
		{&f.Program, &English.Program}, {&f.Decimal, &English.Decimal},
		{&f.KeyShell, &English.KeyShell}, {&f.KeyBead, &English.KeyBead}, {&f.KeyHanging, &English.KeyHanging}, {&f.KeyFree, &English.KeyFree},
		{&f.KeyBridged, &English.KeyBridged}, {&f.KeyMidAir, &English.KeyMidAir}, {&f.KeyFinding, &English.KeyFinding},
		{&f.KeyCut, &English.KeyCut}, {&f.KeyAxis, &English.KeyAxis}, {&f.KeyHidden, &English.KeyHidden}, {&f.KeyHead, &English.KeyHead},
		{&f.KeyBed, &English.KeyBed}, {&f.KeyObstacle, &English.KeyObstacle}, {&f.Bed, &English.Bed}, {&f.Beyond, &English.Beyond},
	} {
		if *e.to == "" {
			*e.to = *e.from
		}
	}
	return &f
}
