package check

import (
	"math"

	"example.com/stanchion/internal/quantity"
)

// Frequency is the lowest natural frequency of the run, for information: of the frame that is
// run first, with its own mass and no one on it. Lowest is nil where none was found, and the
// words say why.
type Frequency struct {
	Lowest *float64 `json:"lowest_Hz"`
	Words  string   `json:"words"`
}

// frequencyFigures is how many figures a frequency is given with, which is good to 0.5 %.
const frequencyFigures = 3

// frequency fills the lowest natural frequency of the first frame that stands.
func (c *run) frequency() {
	m := c.models[0]
	v, err := m.analysis.Vibration()
	switch {
	case err != nil:
		c.out.Frequency = &Frequency{Words: "not found: " + err.Error()}
		return
	case v == nil:
		return // nothing has a mass
	}
	lowest := quantity.Figures(v.Hertz, frequencyFigures)
	way := map[string]string{"across": "across", "along": "along the run", "vertical": "up and down"}[v.Direction]
	words := "posts and rails sway " + way
	if v.OfRails {
		words = "a rail swings " + way + " between its posts"
	}
	switch k := m.layout.FootStiffness; {
	case len(c.d.Post.Base.Stiffness) == 0:
		words += ", on rigid feet: their stiffness is not given, and softer ones lower it"
	case math.IsInf(k, 1):
		words += ", on rigid feet"
	default:
		words += ", on feet of " + stiffness(k, c.o.Units)
	}
	if c.d.HasOwnFeet() {
		words += ", those found loose on their own"
	}
	c.out.Frequency = &Frequency{&lowest, words}
}

// sayFrequency says what the frequency is of.
func (c *run) sayFrequency() {
	if c.out.Frequency != nil && c.out.Frequency.Lowest != nil {
		c.say("The lowest natural frequency is for information, and no limit of it is checked: it is that of the first frame that was run, with the mass of tubes, fittings and infill and nothing and no one on it, without damping, to 0.5 %.")
	}
}
