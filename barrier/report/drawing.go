package report

// drawing is ink on paper: marks in mm of paper, x to the right and y down, in the order in
// which they are put on. SVG and PDF draw the same marks.
type drawing struct {
	title, description string // what a reader who sees no drawing is told
	width, height      float64
	marks              []inked
}

// inked is one mark.
type inked struct {
	kind   inkedKind
	points [][2]float64 // of a line or an outline in order; of text the one place of its baseline
	weight float64      // of the pen, mm
	dash   []float64    // mm of pen down and up; nil for a whole line
	shade  shade        // of an outline that is filled
	slant  float64      // of a hatch, degrees; 45 for positive, -45 for negative values
	text   string
	size   float64 // of letters, mm
	anchor anchor
	turn   float64 // of text about its place, degrees anticlockwise
}

type inkedKind int

// The kinds of marks.
const (
	penLine  inkedKind = iota // an open line
	outline                   // a closed one, filled with its shade
	hatching                  // a closed one, filled with slanting lines
	arrow                     // a line with a head at its last point
	lettering
)

// shade is how dark an outline is filled: none, the four steps of utilisation, and what is above 1.
type shade int

// The shades.
const (
	unfilled shade = iota
	shade25        // utilisation up to 0.25
	shade50
	shade75
	shade100
	shadeOver // black with a white hatch
)

type anchor int

// The anchors of text.
const (
	atStart anchor = iota
	atMiddle
	atEnd
)
