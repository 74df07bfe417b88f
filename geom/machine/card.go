// Package machine knows the printer: its card (what it can do, in numbers) and
// its kinematics, the one place where tip poses become machine words and back.
package machine

// Card is a machine card as in its JSON file: mm, mm/s, degrees.
type Card struct {
	Version  int       `json:"conewright_machine"`
	Name     string    `json:"name"`
	Travel   Travel    `json:"travel"`
	MaxSpeed AxisRates `json:"max_speed"` // mm/s
	MaxAccel AxisRates `json:"max_accel"` // mm/s2
	// Greatest temperatures that a motion may ask for, degrees C; 0: not known.
	MaxNozzleTemp float64 `json:"max_nozzle_temp"`
	MaxBedTemp    float64 `json:"max_bed_temp"`
	// CountsTo is the greatest size of E, mm, and of turning words, degrees, that
	// the controller counts finely enough; 0: no matter.
	CountsTo float64 `json:"counts_to"`
	Swivel   *Swivel `json:"swivel"` // nil: no swivel; see Rotary
	// Rotary are the turning axes of a card without a swivel, MostTurning at most.
	Rotary       []Rotary `json:"rotary,omitempty"`
	Linear       *Linear  `json:"linear,omitempty"` // nil: x, y and z
	Head         Head     `json:"head"`
	Nozzle       float64  `json:"nozzle"`   // mm
	Filament     float64  `json:"filament"` // diameter, mm
	MaxFlow      float64  `json:"max_flow"` // mm3/s
	Retract      Retract  `json:"retract"`
	Obstacles    []Box    `json:"obstacles"`       // with all turning axes at zero
	MaxMovesPerS float64  `json:"max_moves_per_s"` // 0: not known
	FeedBasis    string   `json:"feed_basis"`      // tip | all-axes | inverse-time
	Decimals     Decimals `json:"decimals"`
	Start        string   `json:"start"`
	End          string   `json:"end"`
}

// Feed bases.
const (
	FeedTip         = "tip"
	FeedAllAxes     = "all-axes"
	FeedInverseTime = "inverse-time"
)

// Travel holds the limits of the machine words.
type Travel struct {
	X Limits `json:"x"`
	Y Limits `json:"y"`
	Z Limits `json:"z"`
}

// AxisRates holds one rate an axis.
type AxisRates struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	Z float64 `json:"z"`
	E float64 `json:"e"`
}

// Swivel is the rotary axis about z that turns the head.
type Swivel struct {
	Letter    string      `json:"letter"`
	Sense     float64     `json:"sense"`     // +1 or -1
	Zero      float64     `json:"zero"`      // word = zero + sense x azimuth, degrees
	Range     *[2]float64 `json:"range"`     // of the word; nil: endless
	MaxSpeed  float64     `json:"max_speed"` // degrees/s
	MaxAccel  float64     `json:"max_accel"` // degrees/s2
	TipOffset [3]float64  `json:"tip_offset"`
}

// Head is the shape of what carries the nozzle.
type Head struct {
	// Tip is the tip seen from the reference point, all turning axes at zero, mm;
	// with a swivel its TipOffset counts.
	Tip       [3]float64   `json:"tip"`
	Tilt      float64      `json:"tilt"`       // degrees from vertical
	OffSquare float64      `json:"off_square"` // degrees
	TipFree   float64      `json:"tip_free"`   // mm
	Profile   [][2]float64 `json:"profile"`    // [distance from tip along the nozzle axis, radius]
	Boxes     []Box        `json:"boxes"`      // seen from the tip, swivel with the head
}

// Box is an axis-parallel box, mm.
type Box struct {
	Min [3]float64 `json:"min"`
	Max [3]float64 `json:"max"`
	On  string     `json:"on,omitempty"` // OnBed: an obstacle that turns with the bed; "": the machine's
}

// Retract tells how filament is drawn back before a travel.
type Retract struct {
	Length float64 `json:"length"` // mm
	Speed  float64 `json:"speed"`  // mm/s
	Lift   float64 `json:"lift"`   // mm
}

// Decimals are the digits after the point that the controller is given.
type Decimals struct {
	XYZ   int `json:"xyz"`
	Angle int `json:"angle"`
	E     int `json:"e"`
}
