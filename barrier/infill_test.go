package barrier_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/stanchion/barrier"
	"example.com/stanchion/solver"
)

// mesh is an infill as the tests put it before the loads of the example of the format.
const mesh = "[infill]\nkind = \"mesh\"\nmass = \"4.5 kg/m2\"\nsolidity = 0.35\n"

// withInfill reads the example of the format with an infill.
func withInfill(t *testing.T, infill string, pairs ...string) *barrier.Definition {
	t.Helper()
	return changed(t, append(pairs, "[[load]]\n", infill+"\n[[load]]\n")...)
}

func TestReadsInfill(t *testing.T) {
	d := withInfill(t, mesh)
	want := barrier.Infill{Kind: barrier.MeshInfill, Mass: 4.5, Solidity: 0.35, Bottom: 0.6, Top: 1.1, Carrier: barrier.CarriedByRails, Rails: []int{1, 0}}
	if got := d.Infill; got.Kind != want.Kind || got.Mass != want.Mass || got.Solidity != want.Solidity || got.Bottom != want.Bottom || got.Top != want.Top ||
		got.Carrier != want.Carrier || !slices.Equal(got.Rails, want.Rails) || got.Offset != 0 || got.Opening != nil {
		t.Errorf("infill %+v, want %+v", got, want)
	}
	for _, said1 := range []string{
		`The infill is carried by the highest rail, "top", and the lowest, "knee": infill.rails is not given.`,
		`The infill begins at the axis of the lowest rail that carries it, "knee", 600 mm: infill.bottom is not given.`,
		`The infill ends at the axis of the highest rail that carries it, "top", 1100 mm: infill.top is not given.`,
		`The infill stands in the plane of what carries it: infill.offset is not given and taken as 0 mm.`,
	} {
		if !slices.Contains(said(d.Assumptions), said1) {
			t.Errorf("assumptions %q lack %q", said(d.Assumptions), said1)
		}
	}
	d = withInfill(t, "[infill]\nkind = \"sheet\"\nmass = \"2 lb/ft2\"\nbottom = \"4 in\"\ntop = \"1200 mm\"\nrails = [\"top\", \"knee\"]\noffset = \"-30 mm\"\n")
	// 1 lb is 0.453 592 37 kg and 1 ft 0.3048 m (agreement of 1959); 4 in are 101.6 mm.
	if in := d.Infill; !near(in.Mass, 2*0.45359237/(0.3048*0.3048)) || in.Solidity != 1 || !near(in.Bottom, 0.1016) || in.Top != 1.2 || in.Offset != -0.03 || !near(in.Height(), 1.2-0.1016) {
		t.Errorf("infill %+v", in)
	}
	d = withInfill(t, "[infill]\nkind = \"vertical bars\"\nmass = \"12 kg/m2\"\nsolidity = 0.2\ncarried_by = \"posts\"\nopening = \"99 mm\"\n")
	if in := d.Infill; in.Kind != barrier.BarInfill || in.Carrier != barrier.CarriedByPosts || len(in.Rails) != 0 || in.Bottom != 0 || in.Top != 1.1 || *in.Opening != 0.099 {
		t.Errorf("infill %+v", in)
	}
	for _, none := range []string{"", "[infill]\nkind = \"none\"\n"} {
		d = withInfill(t, none)
		if d.Infill.Kind != barrier.NoInfill || d.Infill.Stands() || d.Infill.Height() != 0 || containsPart(said(d.Assumptions), "infill") {
			t.Errorf("%q: infill %+v, assumptions %q", none, d.Infill, said(d.Assumptions))
		}
	}
}

// weightOf returns what the ground holds up of the permanent actions, N, and their moment
// about the line y = 0 on the ground along the first leg, N·m.
func weightOf(s solved) (up, about float64) {
	gravity := solver.Vec{0, 0, -9.81}
	sol := s.model.Solve(solver.Case{Gravity: gravity, Nodes: s.NodeWeights(gravity)})
	for _, r := range sol.Reactions {
		at := s.Position(r.Node)
		switch r.Freedom {
		case solver.UZ:
			up += r.Value
			about += at[1] * r.Value
		case solver.UY:
			about -= at[2] * r.Value
		case solver.RX:
			about += r.Value
		}
	}
	return up, about
}

// TestInfillWeight weighs infill in several barriers on the feet and walls that hold them: by
// statics they hold the mass of its area, 9.81 N for each kg, and its moment about the run,
// weight times the distance of its plane from the axis.
func TestInfillWeight(t *testing.T) {
	outside := compared(t, "weight of infill")
	const source = "statics: area times mass times 9.81 m/s²"
	cos32 := math.Cos(32 * math.Pi / 180)
	for _, c := range []struct {
		name, infill string
		pairs        []string
		area         float64 // m²
		plane        float64 // m, outward of the posts' axes
	}{
		{"mesh on two rails", mesh, nil, 9 * 0.5, 0},
		{"mesh hung below the lower rail", mesh + "bottom = \"100 mm\"\n", nil, 9 * 1.0, 0},
		{"mesh beside its rails", mesh + "bottom = \"100 mm\"\noffset = \"30 mm\"\n", nil, 9 * 1.0, 0.03},
		{"mesh beside rails that stand beside the posts", mesh + "offset = \"30 mm\"\n", []string{"moment = \"free\"", "offset = \"60 mm\""}, 9 * 0.5, 0.09},
		{"mesh inward of its rails", mesh + "offset = \"-30 mm\"\n", nil, 9 * 0.5, -0.03},
		{"the hazard on the right", mesh + "offset = \"30 mm\"\n", []string{"start   = \"free\"", "hazard = \"right\""}, 9 * 0.5, -0.03},
		{"on posts", mesh + "carried_by = \"posts\"\nbottom = \"100 mm\"\noffset = \"40 mm\"\n", nil, 9 * 1.0, 0.04},
		{"rails that run past the end", mesh, []string{"start   = \"free\"", "overhang = [\"0 mm\", \"300 mm\"]", "stock   = \"6 m\"", "stock = \"12 m\""}, 9 * 0.5, 0},
		{"with a gap", mesh + "offset = \"30 mm\"\n", []string{"[fitting]", "[[gap]]\nfrom = \"3 m\"\nto = \"4.5 m\"\n[fitting]"}, 7.5 * 0.5, 0.03},
		{"between walls", mesh, []string{`start   = "free"`, `start = "wall"`, `end     = "free"`, `end = "wall"`}, 9 * 0.5, 0},
		{"beside its rails at a wall", mesh + "offset = \"30 mm\"\n", []string{`start   = "free"`, `start = { kind = "wall", rotation = ["run"] }`}, 9 * 0.5, 0.03},
		{"on a slope", mesh + "bottom = \"100 mm\"\noffset = \"30 mm\"\n", []string{`start   = "free"`, `pitch = "32 deg"`}, 9 * cos32 * 1.0, 0.03},
	} {
		pairs := slices.Clone(c.pairs)
		open := solve(t, changed(t, pairs...))
		closed := solve(t, withInfill(t, c.infill, pairs...))
		up, about := weightOf(closed)
		openUp, openAbout := weightOf(open)
		outside.within(c.name+": weight", up-openUp, c.area*4.5*9.81, 1e-8, source)
		if want := c.area * 4.5 * 9.81 * c.plane; !(math.Abs(about-openAbout-want) <= 1e-8*up) {
			t.Errorf("%s: moment about the run = %.9g, want %.9g (source: %s)", c.name, about-openAbout, want, source)
		}
	}
}

// TestInfillWeightByTributaryHeight puts 0.1 to 1.1 m of mesh on rails at 0.6 and 1.1 m: up to
// half way between them, 0.85 m, it is nearest to the lower one, 0.75 m of it, and 0.25 m to the
// upper one.
func TestInfillWeightByTributaryHeight(t *testing.T) {
	outside := compared(t, "infill by tributary height")
	d := withInfill(t, mesh+"bottom = \"100 mm\"\n")
	f, open := solve(t, d), solve(t, changed(t))
	for rail, height := range map[int]float64{0: 0.25, 1: 0.75} {
		for i, m := range f.Rails[rail].Members {
			added := f.model.Weight(m.ID, solver.Vec{0, 0, -1})[2] - open.model.Weight(open.Rails[rail].Members[i].ID, solver.Vec{0, 0, -1})[2]
			outside.within("mass per metre", -added, 4.5*height, 1e-9, "half way between the rails, by hand")
		}
	}
	if len(f.Infill) != 0 {
		t.Errorf("%d nodes of posts carry infill that hangs in the plane of its rails", len(f.Infill))
	}
}

// TestInfillOfEveryRun weighs infill on random runs: the ground holds the mass of its area,
// plumb heights times lengths in plan, of every bay that is no gap.
func TestInfillOfEveryRun(t *testing.T) {
	base := withInfill(t, mesh)
	rapid.Check(t, func(t *rapid.T) {
		d := *base
		d.Run = randomRun(t)
		d.Run.Hazard = rapid.SampledFrom([]barrier.Side{barrier.Left, barrier.Right}).Draw(t, "hazard")
		d.Rails = slices.Clone(base.Rails)
		for i := range d.Rails {
			d.Rails[i].Splices = nil
		}
		in := &d.Infill
		in.Offset = rapid.SampledFrom([]float64{0, 0.03, -0.05}).Draw(t, "offset")
		in.Bottom, in.Top = rapid.Float64Range(0, 0.5).Draw(t, "bottom"), rapid.Float64Range(0.7, 1.3).Draw(t, "top")
		if rapid.Bool().Draw(t, "posts") {
			in.Carrier, in.Rails = barrier.CarriedByPosts, nil
		}
		l := barrier.Layout{FootStiffness: 100e3, Joint: d.Fitting.Moment, Rails: []barrier.Joints{{}, {}}}
		weigh := func(d *barrier.Definition) float64 {
			f := d.Frame(l)
			model, err := f.Factorise()
			if err != nil {
				t.Fatal(err)
			}
			up, _ := weightOf(solved{f, model})
			return up
		}
		open := d
		open.Infill = barrier.Infill{Kind: barrier.NoInfill}
		length := 0.0
		supports := d.Supports()
		for i := 1; i < len(supports); i++ {
			if bay := supports[i] - supports[i-1]; !d.Run.IsGap(i - 1) {
				share := 1.0 // posts carry all of a bay but the half next to a wall
				if in.Carrier == barrier.CarriedByPosts && (i == 1 && d.Run.Start.Wall) {
					share -= 0.5
				}
				if in.Carrier == barrier.CarriedByPosts && (i == len(supports)-1 && d.Run.End.Wall) {
					share -= 0.5
				}
				length += share * bay * math.Cos(d.Run.PitchAt((supports[i]+supports[i-1])/2))
			}
		}
		want := 4.5 * 9.81 * length * in.Height()
		if got := weigh(&d) - weigh(&open); !(math.Abs(got-want) <= 1e-6*(want+1)) {
			t.Fatalf("the ground holds %v N of infill, want %v", got, want)
		}
	})
}

// TestInfillOfUSUnits prints what is said of an infill for a US reader.
func TestInfillOfUSUnits(t *testing.T) {
	d := withInfill(t, mesh, `"metric"`, `"US"`)
	for _, s := range d.Assumptions {
		if text := s.In(d.Units); strings.Contains(text, "infill") && strings.Contains(text, " mm") {
			t.Errorf("a US reader is told %q", text)
		}
	}
}
