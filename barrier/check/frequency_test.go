package check

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// A lone post that carries half of two hinged rails swings as a cantilever with the rails at its
// top does; the rails give the top a mass that moves with it and, hinged to neighbours that move
// alike, nothing else. Closed form with the post's own mass m h and M on its top:
// 1 + cos β cosh β + (M/mh) β (cos β sinh β - sin β cosh β) = 0, ω = β² √(EI/(m h⁴)).
func TestFrequencyOfLonePosts(t *testing.T) {
	outside := compared(t, verification.Stability, "lowest frequency of a barrier")
	for _, c := range []struct {
		name, fitting string
		mass          float64 // of a fitting, kg
	}{{"two lone posts with a hinged rail, Hz", "", 0}, {"the same with fittings of 2 kg, Hz", "\nmass = \"2 kg\"", 2}} {
		s := lonePosts()
		s.knee, s.base, s.fitting = "", "stiffness = \"rigid\"", s.fitting+c.fitting
		s.run = "posts = [\"0 m\", \"0.6 m\"]\ntoe_plate = \"none\""
		r := s.check(t)
		if r.Frequency == nil || r.Frequency.Lowest == nil {
			t.Fatalf("no frequency: %+v", r.Frequency)
		}
		const h, bay = 1.1, 0.6
		m := handWeight() / gFall // kg/m
		ratio := (m*bay/2 + c.mass) / (m * h)
		of := func(b float64) float64 {
			return 1 + math.Cos(b)*math.Cosh(b) + ratio*b*(math.Cos(b)*math.Sinh(b)-math.Sin(b)*math.Cosh(b))
		}
		low, high := 0.5, 1.875
		for range 60 {
			if b := (low + high) / 2; of(b) > 0 {
				low = b
			} else {
				high = b
			}
		}
		want := low * low * math.Sqrt(handE*handI/(m*h*h*h*h)) / (2 * math.Pi)
		// Both posts sway along the run together, and there the rail is a rigid mass; across, where
		// the rail bends a little as it is thrown, the frequency is lower.
		source := "exact equation of a cantilever with a tip mass (derived)"
		got := *r.Frequency.Lowest
		if got > want*1.005 || got < 0.99*want {
			t.Errorf("%s: lowest frequency %v, want %v and up to 1 %% less for the rail that bends (source: %s)", c.name, got, want, source)
		}
		outside.row.Add(c.name, want, got, source)
		if w := r.Frequency.Words; w != "posts and rails sway across, on rigid feet" {
			t.Errorf("%s: words %q", c.name, w)
		}
		if !says(r.Assumptions, "no limit of it is checked") {
			t.Errorf("%s: assumptions %q say nothing of the frequency", c.name, r.Assumptions)
		}
	}
}

// Softer feet and heavier fittings and infill lower the frequency; feet that are not given are
// told, and nothing of it makes a check.
func TestWhatLowersTheFrequency(t *testing.T) {
	of := func(s scenario) float64 {
		r := s.check(t)
		for i := range r.Checks {
			if strings.Contains(r.Checks[i].ID, "frequency") {
				t.Errorf("%s is a check", r.Checks[i].ID)
			}
		}
		return *r.Frequency.Lowest
	}
	rigid := throughRails()
	rigid.base = "stiffness = \"rigid\""
	soft, heavy, unknown := rigid, rigid, rigid
	soft.base, unknown.base = "stiffness = \"40 kNm/rad\"", ""
	heavy.fitting += "\nmass = \"3 kg\""
	stiff := of(rigid)
	// On a foot spring of k the post alone is as soft as 1/(1 + 3EI/(k h)) of rigid: Rayleigh.
	if ratio, want := of(soft)/stiff, math.Sqrt(1/(1+3*handE*handI/(40e3*1.1))); math.Abs(ratio/want-1) > 0.05 {
		t.Errorf("on soft feet %v of the frequency on rigid ones, want about %v", ratio, want)
	}
	if !(of(heavy) < 0.9*stiff) {
		t.Errorf("with heavy fittings %v Hz, without %v Hz", of(heavy), stiff)
	}
	r := unknown.check(t)
	if *r.Frequency.Lowest != stiff || !strings.Contains(r.Frequency.Words, "their stiffness is not given, and softer ones lower it") {
		t.Errorf("feet not given: %v, %q; want %v, that of rigid ones, and words of it", *r.Frequency.Lowest, r.Frequency.Words, stiff)
	}
}

// A long slack rail between stiff posts swings by itself: π/2 √(EI/(m L⁴)) between hinges.
func TestRailThatSwings(t *testing.T) {
	s := lonePosts()
	s.height, s.base, s.run, s.knee = "300 mm", "stiffness = \"rigid\"", "posts = [\"0 m\", \"4 m\"]\ntoe_plate = \"none\"", ""
	s.limits = "deflection = \"100 mm\""
	r := s.check(t)
	want := math.Pi / 2 * math.Sqrt(handE*handI/(handWeight()/gFall*4*4*4*4))
	const source = "pinned beam, Blevins table 8-1, memory"
	got := *r.Frequency.Lowest
	if got > want*1.002 || got < 0.98*want {
		t.Errorf("%v Hz, want a little below %v Hz (source: %s)", got, want, source)
	}
	compared(t, verification.Stability, "lowest frequency of a barrier").row.Add("rail that swings by itself, Hz", want, got, source)
	if !strings.HasPrefix(r.Frequency.Words, "a rail swings ") {
		t.Errorf("words %q", r.Frequency.Words)
	}
	var out struct {
		Frequency struct {
			Lowest float64 `json:"lowest_Hz"`
			Words  string  `json:"words"`
		} `json:"frequency"`
	}
	if text, err := json.Marshal(r); err != nil || json.Unmarshal(text, &out) != nil || out.Frequency.Lowest != *r.Frequency.Lowest || out.Frequency.Words == "" {
		t.Errorf("JSON has %+v, %v", out, err)
	}
}
