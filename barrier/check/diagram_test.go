package check

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// cutRun is a run of four bays of 1 m whose rail is cut at every post, on rigid feet, under a load
// outward at 1.1 m: every bay is a simple beam and every post a cantilever, so that statics alone
// gives each diagram.
func cutRun(hazard, load string) string {
	return fmt.Sprintf(`title = "Landing"
basis = "EN"
[run]
length = "4 m"
spacing = "1 m"
hazard = %q
[post]
tube = "EN 10219 48.3x3.2"
grade = "S235JRH"
height = "1100 mm"
[post.base]
stiffness = "rigid"
[[rail]]
name = "top"
height = "1100 mm"
tube = "EN 10219 60.3x5.0"
grade = "S355J2H"
through = false
[[load]]
name = "people"
%s
direction = "outward"
[limits]
deflection = "25 mm"
`, hazard, load)
}

// diagram returns the diagram of an element.
func (r *Result) diagram(t *testing.T, under, element, quantity string) *Diagram {
	t.Helper()
	for i := range r.Diagrams {
		if d := &r.Diagrams[i]; d.Under == under && d.Element == element && d.Quantity == quantity {
			return d
		}
	}
	t.Fatalf("no diagram of %s of %s under %s", quantity, element, under)
	return nil
}

// at returns the value of a diagram at a station.
func (d *Diagram) at(t *testing.T, station float64) float64 {
	t.Helper()
	for i, s := range d.Stations {
		if math.Abs(s-station) < 1e-9 {
			return d.Values[i]
		}
	}
	t.Fatalf("%s of %s has no station %g", d.Quantity, d.Element, station)
	return 0
}

// Signs and sizes of moments and movements, on either side of the run: under 0.74 kN/m outward,
// times 1.5, a bay is a simple beam with q L²/8 and tension on the side to which it bows, outward,
// and an inner post a cantilever with q L h at its foot and tension on the walking side; its top moves
// outward by q L h³/3EI. Statics and Euler-Bernoulli, derived.
func TestSignsOfDiagrams(t *testing.T) {
	outside := compared(t, verification.Reports, "signs of diagrams")
	for _, hazard := range []string{"left", "right"} {
		r := result(t, parse(t, cutRun(hazard, "kind = \"line\"\nvalue = \"0.74 kN/m\"")), Options{Diagrams: true})
		const q, h, l = 1.5 * 740, 1.1, 1.0
		rail := r.diagram(t, UnderStrength, "rail top", MomentAcross)
		outside.near(hazard+": middle of bay 2, Nm", rail.at(t, 1.5), -q*l*l/8, 1e-6*q, "statics")
		outside.near(hazard+": at post 2, Nm", rail.at(t, 1), 0, 1e-6*q, "statics")
		post := r.diagram(t, UnderStrength, "post 3", MomentAcross)
		outside.near(hazard+": foot of post 3, Nm", post.at(t, 0), q*l*h, 1e-6*q, "statics")
		outside.near(hazard+": along the run, Nm", r.diagram(t, UnderStrength, "post 3", MomentAlong).at(t, 0), 0, 1e-6*q, "nothing acts along the run")
		if up := r.diagram(t, UnderStrength, "rail top", MomentUp).at(t, 1.5); !(up > 0) {
			t.Errorf("%s: the rail's own weight gives %g Nm, want tension below", hazard, up)
		}
		d := parse(t, cutRun(hazard, "kind = \"line\"\nvalue = \"0.74 kN/m\""))
		ei := d.Post.Grade.E * d.Post.Ring.I
		moved := r.diagram(t, UnderDeflection, "post 3", MovementOut)
		outside.near(hazard+": top of post 3, mm", moved.at(t, h), 740*l*h*h*h/(3*ei)*1e3, 1e-6, "F h³/3EI")
	}
}

// The influence line of the moment at the foot of a post whose rails are cut there is a roof: h above
// the post and nothing at its neighbours, 1 for 1 between. Statics, derived. And the governing load
// times its ordinate is the demand of the check, for the rest of it is the rail's weight, which is plumb.
func TestInfluenceLineOfACutRun(t *testing.T) {
	outside := compared(t, verification.Reports, "influence line of a cut run")
	text := strings.Replace(cutRun("left", "kind = \"point\"\nvalue = \"1 kN\"\nrail = \"top\""), "[run]", "[run]\nstart = \"wall\"", 1) // the first post has a bay on either side
	r := result(t, parse(t, text), Options{Diagrams: true})
	i := slices.IndexFunc(r.Diagrams, func(d Diagram) bool { return d.Quantity == InfluenceOn })
	if i < 0 {
		t.Fatal("no influence line")
	}
	d := &r.Diagrams[i]
	if d.Unit != "Nm/N" || d.Under != UnderOverall || !strings.Contains(d.Response, r.Governing.Overall.Element) || d.Element != "rail top" {
		t.Fatalf("influence line of %q in %s along %s under %s", d.Response, d.Unit, d.Element, d.Under)
	}
	var post int
	if _, err := fmt.Sscanf(r.Governing.Overall.Element, "post %d", &post); err != nil {
		t.Fatalf("%s governs, want a post", r.Governing.Overall.Element)
	}
	stands := r.Posts[post-1].X
	for k, x := range d.Stations {
		want := 1.1 * math.Max(0, 1-math.Abs(x-stands))
		outside.near(fmt.Sprintf("at x = %g m", x), d.Values[k], want, 1e-7, "statics; stations have nine figures")
	}
	outside.near("ordinate times load, Nm", 1.5*1000*d.at(t, stands), r.row(t, r.Governing.Overall.ID, r.Governing.Overall.Element).Demand, 1, "the check, whose weight is plumb")
}

// An influence line holds for any section of any check: its ordinates where the governing load
// stands, times the load and its factor, with what the permanent actions do beside it, are the state that
// was judged. On examples that are judged by a moment, under a point load.
func TestInfluenceLinesGiveTheDemand(t *testing.T) {
	for _, name := range []string{"gallery.toml", "quay-gate.toml", "cellar-stair.toml"} {
		r := result(t, example(t, name), Options{Diagrams: true})
		i := slices.IndexFunc(r.Diagrams, func(d Diagram) bool { return d.Quantity == InfluenceOn })
		if i < 0 || r.Shape.Load == nil || len(r.Shape.Load.Spans) != 1 {
			t.Errorf("%s: no influence line, or no point load", name)
			continue
		}
		row := r.row(t, r.Governing.Overall.ID, r.Governing.Overall.Element)
		var permanent, variable, force float64
		if _, err := fmt.Sscanf(row.Combination, "%f G + %f", &permanent, &variable); err != nil {
			t.Fatalf("%s: %q: %v", name, row.Combination, err)
		}
		if _, err := fmt.Sscanf(row.Load, "point %f kN", &force); err != nil {
			t.Fatalf("%s: %q: %v", name, row.Load, err)
		}
		x := r.Shape.Load.Spans[0][0]
		moment := r.diagram(t, UnderStrength, r.Governing.Strength.Element, MomentResultant)
		ordinate := r.Diagrams[i].at(t, x)
		near(t, name+": ordinate times load at the foot, Nm", variable*force*1e3*ordinate, moment.at(t, moment.Stations[0]), 0.01*moment.Values[0], "the frame solved under the load")
	}
}

// The shape tells where everything stands: bays and posts in order, rails cut at corners, gaps and
// splices, the load of the check that governs.
func TestShape(t *testing.T) {
	outside := compared(t, verification.Reports, "shape of a stair")
	r := result(t, example(t, "quay-gate.toml"), Options{Diagrams: true})
	s := r.Shape
	if len(s.Bays) != 10 || s.Bays[3].Gap != "gate" || s.Bays[7].Gap != "gap" || s.Bays[0].Gap != "" {
		t.Errorf("bays %+v, want a gate in bay 4 and a gap in bay 8 of 10", s.Bays)
	}
	if got := fmt.Sprint(s.Rails[0].Pieces, s.Rails[0].Splices); got != "[[0 1.7] [1.7 4.5] [5.5 9] [9.6 12]] [1.7]" {
		t.Errorf("top rail in pieces %s", got)
	}
	if s.Load == nil || s.Load.Size != "0.450 kN" || s.Load.Toward != "outward" || s.Load.Outward != 1 || s.Load.Height != 1.1 || fmt.Sprint(s.Load.Spans) != "[[0 0]]" {
		t.Errorf("load %+v, want 0.450 kN outward at x = 0", s.Load)
	}
	if s.Posts[0].Base != "120 kNm/rad" || s.Joint != "free" || s.Hazard != "left" {
		t.Errorf("foot %q, joints %q, hazard %q", s.Posts[0].Base, s.Joint, s.Hazard)
	}
	stair := result(t, example(t, "cellar-stair.toml"), Options{Diagrams: true}).Shape
	for i, p := range stair.Posts { // as the legs have it: 3.9 m at 38 deg, then level, then a turn to the right
		rise := math.Min(p.X, 3.9) * math.Sin(stairPitch(t)*math.Pi/180)
		outside.near(fmt.Sprintf("rise of post %d, m", i+1), p.Rise, rise, 1e-6, "the sine of the pitch")
	}
	if last := stair.Posts[len(stair.Posts)-1]; !(last.Plan[1] < -2.3) {
		t.Errorf("the last post stands at %v, want 2.4 m to the right", last.Plan)
	}
}

// stairPitch is the pitch of the first leg of the stair, deg.
func stairPitch(t *testing.T) float64 {
	return result(t, example(t, "cellar-stair.toml"), Options{}).Legs[0].Pitch
}
