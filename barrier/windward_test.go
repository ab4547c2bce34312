package barrier_test

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/loads"
)

// solidityPlan is a run of 6 m with five posts and two rails.
const solidityPlan = `basis = "EN"
[run]
posts = ["0 m", "1.5 m", "3 m", "4.5 m", "6 m"]
toe_plate = "none"
[post]
tube = "EN 10255 DN40 medium"
grade = "S195T"
height = "1100 mm"
[post.base]
stiffness = "rigid"
[[rail]]
name = "top"
height = "1100 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
through = true
splices = "none"
[[rail]]
name = "low"
height = "200 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
through = true
splices = "none"
[fitting]
moment = "free"
[[load]]
kind = "line"
value = "0.36 kN/m"
rail = "top"
direction = "outward"
[limits]
deflection = "25 mm"
`

// Areas counted by hand on a run of 6 m with five posts, two rails and bars.
func TestSolidity(t *testing.T) {
	d, err := barrier.Parse("bars.toml", []byte(solidityPlan))
	if err != nil {
		t.Fatal(err)
	}
	od, up := d.Post.Ring.OD, 1.1+d.Post.Ring.OD/2
	rails, posts := 2*od/up, 5*od*1.1/(6*up)
	bare := 1 - (1-rails)*(1-posts)
	if got := d.Solidity(0, 0); math.Abs(got-bare) > 1e-12 {
		t.Errorf("bare: %g, want %g", got, bare)
	}
	d.Infill = barrier.Infill{Kind: barrier.BarInfill, Solidity: 0.3, Bottom: 0.2, Top: 1.1}
	want := 1 - (1-bare)*(1-0.3*0.9/up)
	if got := d.Solidity(0, 0.3); math.Abs(got-want) > 1e-12 {
		t.Errorf("with bars: %g, want %g", got, want)
	}
	if got := d.Solidity(0.02, 0.6); got <= want {
		t.Errorf("iced: %g, no more than %g", got, want)
	}
}

// Rails go on over overhangs of 0.3 and 0.2 m, infill stands between posts alone: a sheet of 0.9 m on 6 m
// of a run of 6.5 m, counted by hand.
func TestSolidityBesideOverhangs(t *testing.T) {
	d, err := barrier.Parse("sheet.toml", []byte(strings.Replace(solidityPlan, "toe_plate", "overhang = [\"300 mm\", \"200 mm\"]\ntoe_plate", 1)))
	if err != nil {
		t.Fatal(err)
	}
	d.Infill = barrier.Infill{Kind: barrier.SheetInfill, Solidity: 1, Bottom: 0.2, Top: 1.1}
	od, up := d.Post.Ring.OD, 1.1+d.Post.Ring.OD/2
	gross := 6.5 * up
	open := (1 - 2*od*6.5/gross) * (1 - 5*od*1.1/gross) * (1 - 0.9*6/gross)
	if got := d.Solidity(0, 1); math.Abs(got-(1-open)) > 1e-12 {
		t.Errorf("%g, want %g", got, 1-open)
	}
}

// A wind that cannot be computed with on a barrier is told: by ASCE 7 one whose area is solid
// for more than 0.7, which ice may bring about.
func TestWindFaults(t *testing.T) {
	d, err := barrier.Parse("mesh.toml", []byte(strings.Replace(solidityPlan, "height = \"200 mm\"", "height = \"150 mm\"", 1)))
	if err != nil {
		t.Fatal(err)
	}
	d.Infill = barrier.Infill{Kind: barrier.MeshInfill, Solidity: 0.4, Bottom: 0.15, Top: 1.1}
	wind := loads.Wind{Route: loads.WindASCE, Velocity: 51.4, Exposure: "C", Ground: 4}
	d.Loads = append(d.Loads,
		barrier.Load{Name: "wind", With: []int{2}, Own: &barrier.OwnLoad{Kind: barrier.OwnWind, Wind: &wind}},
		barrier.Load{Name: "ice", With: []int{1}, Own: &barrier.OwnLoad{Kind: barrier.OwnIce, Ice: &loads.Ice{Class: "G4"}}})
	if faults := d.WindFaults(1); len(faults) != 1 || faults[0].Field != "solidity" || !strings.HasPrefix(faults[0].What, "with the ice of load 3, ") {
		t.Errorf("mesh closed by ice: %+v", faults)
	}
	d.Loads[1].With = nil
	if faults := d.WindFaults(1); len(faults) != 0 {
		t.Errorf("open mesh: %+v", faults)
	}
	d.Infill.Solidity = 0.9
	if faults := d.WindFaults(1); len(faults) != 1 || faults[0].Field != "solidity" {
		t.Errorf("close mesh: %+v", faults)
	}
	d.Loads[1].Own.Wind = &loads.Wind{Route: loads.WindPressureGiven, Pressure: 500}
	if faults := d.WindFaults(1); len(faults) != 0 {
		t.Errorf("with a pressure: %+v", faults)
	}
}

// The highest point of a run that climbs is at its upper end.
func TestHighestPoint(t *testing.T) {
	d, err := barrier.Parse("stair.toml", []byte(strings.Replace(solidityPlan, "toe_plate", "pitch = \"30 deg\"\ntoe_plate", 1)))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := d.HighestPoint(), d.TopOfRail()+6*math.Sin(math.Pi/6); math.Abs(got-want) > 1e-9 {
		t.Errorf("%g m, want %g", got, want)
	}
}
