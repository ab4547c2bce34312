package barrier

import (
	"math"
	"slices"
	"testing"
)

// The tables of feet hold what their sources print, each row with its source.
func TestBaseTables(t *testing.T) {
	words := []string{"public", "memory", "derived", "common-practice"}
	bearing := map[string]float64{}
	for _, s := range Soils() {
		bearing[s.Name] = s.Bearing
		if s.Describes == "" || s.Source == "" || !slices.Contains(words, s.Provenance) || bearing[s.Name] <= 0 {
			t.Errorf("soil %+v", s)
		}
	}
	if got := bearing["sandy gravel"] / 1e3; math.Abs(got-31.4) > 0.05 {
		t.Errorf("sandy gravel bears %v kPa/m, a public calculation sheet has 31.4 for 200 psf/ft", got)
	}
	if !slices.IsSortedFunc(Soils(), func(a, b Soil) int { return int(math.Copysign(1, b.Bearing-a.Bearing)) }) {
		t.Error("IBC Table 1806.2 goes from rock to clay, each class bears less")
	}
	friction := map[string]float64{}
	for _, c := range Contacts() {
		if _, twice := friction[c.Name]; twice || c.Source == "" || !slices.Contains(words, c.Provenance) || c.Coefficient <= 0 || c.Coefficient > mostFriction {
			t.Errorf("contact %+v", c)
		}
		friction[c.Name] = c.Coefficient
	}
	for name, want := range map[string]float64{"concrete on concrete": 0.4, "rough metal on rough metal": 0.4, "rubber mat": 0.6} {
		if friction[name] != want {
			t.Errorf("%s: %v, want %v (UNECE CTU Code, DIN EN 12195-1, BS 5975, as listed in the row)", name, friction[name], want)
		}
	}
}
