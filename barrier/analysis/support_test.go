package analysis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/solver"
)

// Runs that start or end in a wall, or go past their end posts.

// withEnds gives a plan random ends, and fittings that weigh, stand off or hold: the
// same for every definition that is made of it.
func withEnds(r *rand.Rand, p plan) plan {
	kinds := [2]int{r.IntN(3), r.IntN(3)} // free, wall, overhang
	lengths := [2]float64{between(r, 0.4, 1.5), between(r, 0.4, 1.5)}
	held := [2]bool{r.IntN(2) == 0, r.IntN(2) == 0}
	turns := [2]int{r.IntN(8), r.IntN(8)}
	offset, mass := between(r, -0.08, 0.08), between(r, 0, 2)
	joint := randomJoint(r)
	right := r.IntN(2) == 0
	p.change = func(d *barrier.Definition) {
		run := &d.Run
		first, last := run.Posts[0], run.Posts[len(run.Posts)-1]
		for i, end := range [2]*barrier.End{&run.Start, &run.End} {
			switch kinds[i] {
			case 1:
				*end = barrier.End{Wall: true, AlongHeld: held[i], Rotation: [3]bool{turns[i]&1 == 1, turns[i]&2 == 2, turns[i]&4 == 4}}
				end.X = [2]float64{first - lengths[0], last + lengths[1]}[i]
			case 2:
				run.Overhang[i] = lengths[i] / 2
			}
		}
		if right {
			run.Hazard = barrier.Right
		}
		d.Fitting.Offset, d.Fitting.Mass, d.Fitting.Moment = offset, mass, joint
	}
	return p
}

// randomJoint returns a joint of any kind.
func randomJoint(r *rand.Rand) barrier.Joint {
	switch r.IntN(4) {
	case 0:
		return barrier.Joint{Kind: barrier.GrippedJoint, Stiffness: [3]float64{math.Inf(1)}}
	case 1:
		return barrier.Joint{Kind: barrier.RigidJoint, Stiffness: [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}}
	case 2:
		return barrier.Joint{Kind: barrier.StiffnessJoint, Stiffness: [3]float64{between(r, 1e3, 2e4), between(r, 1e3, 2e4), between(r, 1e3, 2e4)}}
	}
	return barrier.Joint{Kind: barrier.FreeJoint}
}

// oneBay is a rail from a wall at x = 0 to a single post at length; the file needs two
// posts, so it has another that is taken away.
func oneBay(length, foot float64, wall barrier.End, load string) plan {
	p := oneRail([]float64{0, length}, 1.1, foot, load)
	p.change = func(d *barrier.Definition) {
		d.Run.Posts = d.Run.Posts[1:]
		d.Run.Start = wall
	}
	return p
}

// on places the first action at x in the first stretch, unfactored and without permanent
// actions, as one probe sees it.
func on(a *analysis.Analysis, p *analysis.Probe, x float64) analysis.State {
	placed := placedPoint(a, 0, x)
	placed.Probe = p
	return a.Replay(placed)
}

const simple = "statics of a simple span; AISC Steel Construction Manual, Table 3-23 cases 1 and 7 (memory)"

func TestWallToPost(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const length, force, line = 1.6, 900.0, 740.0
	pinned := barrier.End{Wall: true}
	p := oneBay(length, 90e3, pinned, own("point", "0.9 kN", "top", "outward"))
	d := p.definition(t)
	a := ready(t, d)
	wall := a.Wall(0, 0)
	if a.Wall(1, 0) != nil {
		t.Error("a wall at the end of the run, which is free")
	}
	vy := func(s *analysis.State) float64 { return math.Abs(s.Vy) }
	EI, post := ei(&d.Rails[0].Member), ei(&d.Post.Member)
	const h = 1.1
	top := force * (h*h*h/(3*post) + h*h/90e3) // of the post under the whole force
	q := oneBay(length, 90e3, pinned, own("line", "0.74 kN/m", "top", "outward"))
	b := ready(t, q.definition(t))
	tied := oneBay(length, math.Inf(1), barrier.End{Wall: true, Rotation: [3]bool{false, false, true}}, own("line", "0.74 kN/m", "top", "outward"))
	td := tied.definition(t)
	stiffen(&td.Post.Member, 1e6)
	c := ready(t, td)
	sunk := a.WorstAlong(a.Rail(0), analysis.Service, []analysis.Measure{measure(span)})[0]
	for _, r := range []row{
		{"wall, P at the middle, N", simple, on(a, wall, length/2).Vy, force / 2, 1e-9 * force},
		{"wall, P at a quarter, N", simple, on(a, wall, length/4).Vy, 0.75 * force, 1e-9 * force},
		{"wall, largest under P, N", simple, a.Worst(wall, 0, analysis.Service, measure(vy)).Value, force, 1e-9 * force},
		{"wall, w on the whole, N", simple, b.Worst(b.Wall(0, 0), 0, analysis.Service, measure(vy)).Value, line * length / 2, 1e-9 * line},
		{"post, base shear under w, N", simple, foot(b, 0, shear).Value, line * length / 2, 1e-9 * line},
		{"rail, moment under P, Nm", simple, along1(a, measure(moment)).Value, force * length / 4, 1e-9 * force},
		{"rail, movement from the chord, m", simple, sunk.Value, force * length * length * length / (48 * EI), 1e-9 * sunk.Value},
		{"post, top, m", "P h^3/3EI + P h^2/k", a.Worst(a.Post(0).Probes[0], h, analysis.Service, measure(across)).Value, top, 1e-9 * top},
		{"wall that holds the turn about Z, w on the whole, moment / wL2", "propped cantilever, AISC Table 3-23 case 12 (memory)",
			c.Worst(c.Wall(0, 0), 0, analysis.Service, measure(moment)).Value / (line * length * length), 0.125, 1e-5},
		{"wall that holds the turn about Z, w on the whole, reaction / wL", "propped cantilever, AISC Table 3-23 case 12 (memory)",
			c.Worst(c.Wall(0, 0), 0, analysis.Service, measure(vy)).Value / (line * length), 0.625, 1e-5},
	} {
		r.outside(t, record, "rail from a wall to a post")
	}
}

// Along the run a wall takes a force only where it holds the rail along: then post and
// rail share it as springs side by side, 3EI/h^3 and EA/L.
func TestWallAlong(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const length, force, h = 1.6, 900.0, 1.1
	for _, held := range []bool{false, true} {
		p := oneBay(length, math.Inf(1), barrier.End{Wall: true, AlongHeld: held}, own("point", "0.9 kN", "top", "along"))
		d := p.definition(t)
		a := ready(t, d)
		want := 0.0
		if held {
			rail := d.Rails[0].Grade.E * d.Rails[0].Ring.Area / length
			post := 3 * ei(&d.Post.Member) / (h * h * h)
			want = force * rail / (rail + post)
		}
		name := fmt.Sprintf("wall, along held %v, P along at the post, N", held)
		(&row{name, "springs side by side", on(a, a.Wall(0, 0), length).N, want, 1e-9 * force}).outside(t, record, "rail held along by a wall")
	}
}

const overhung = "statics; AISC Table 3-23 case 26, overhanging beam, load at the end (memory): P a^2 (l + a)/3EI"

func TestOverhang(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const length, reach, force = 1.5, 0.4, 900.0
	p := oneRail(evenly(2, length), 1.1, math.Inf(1), own("point", "0.9 kN", "top", "outward"))
	p.change = func(d *barrier.Definition) { d.Run.Overhang[1] = reach }
	d := p.definition(t)
	stiffen(&d.Post.Member, 1e6)
	a := ready(t, d)
	EI := ei(&d.Rails[0].Member)
	end := a.Rail(0).Bays(func(bay int) bool { return bay == 1 })
	if len(end.Probes) != 1 || math.Abs(end.Probes[0].Length-reach) > 1e-12 {
		t.Fatalf("the overhang has %d members", len(end.Probes))
	}
	tip := a.WorstAlong(end, analysis.Service, []analysis.Measure{measure(across), measure(span), measure(moment)})
	for _, r := range []row{
		{"overhang, moment at the post, Nm", overhung, tip[2].Value, force * reach, 1e-9 * force},
		{"overhang, reaction at its post, N", overhung, foot(a, 1, shear).Value, force * (length + reach) / length, 1e-9 * force},
		{"overhang, tip, m", overhung, tip[0].Value, force * reach * reach * (length + reach) / (3 * EI), 1e-5 * tip[0].Value},
		{"overhang, movement from a chord that it does not have, m", "definition", tip[1].Value, 0, 0},
	} {
		r.outside(t, record, "overhang")
	}
	if x := tip[0].Placement.X; math.Abs(x-length-reach) > 1e-9 {
		t.Errorf("the tip moves most under a load at x = %g, want its end", x)
	}
}

// 300 N/m times the bay beside the overhang (the project's engineering rules 4: L is the
// larger bay at a post, or the bay loaded).
func TestPointPerSpacingOnAnOverhang(t *testing.T) {
	record := verification.New(t, verification.Placement)
	p := oneRail([]float64{0, 1.0, 2.6}, 1.1, math.Inf(1), `schedule = "EN ISO 14122-3"`)
	p.rails[0].cut = true
	p.change = func(d *barrier.Definition) {
		d.Run.Overhang[0] = 0.5
		d.Run.End = barrier.End{Wall: true, X: 4.6}
	}
	d := p.definition(t)
	a := ready(t, d)
	rail := a.Rail(0)
	at := func(bay int) *analysis.Element { return rail.Bays(func(b int) bool { return b == bay }) }
	const source = "300 N/m x L, EN ISO 14122-3:2016 8.2.2 (2); statics"
	for _, r := range []row{
		{"overhang 0.5 m beside a bay of 1.0 m, moment, Nm", source, a.WorstAlong(at(-1), analysis.Service, []analysis.Measure{measure(moment)})[0].Value, 300 * 1.0 * 0.5, 1e-7},
		{"bay of 2.0 m to the wall, moment, Nm", source, a.WorstAlong(at(2), analysis.Service, []analysis.Measure{measure(moment)})[0].Value, 300 * 2.0 * 2.0 / 4, 1e-7},
		{"last post, base shear, N", source, foot(a, 2, shear).Value, 300 * 2.0, 1e-7},
	} {
		r.outside(t, record, "300 N/m times the bay, overhang and wall")
	}
	_, notes := analysis.Actions(d)
	said(t, notes, "EN ISO 14122-3: on an overhang handrail load is that of the bay beside it")
}

// The hazard on the right is the hazard on the left seen in a mirror: every measure of
// every element is the same.
func TestHazardRightMirrorsLeft(t *testing.T) {
	for seed := range uint64(2) {
		r := rand.New(rand.NewPCG(21, seed))
		words := []string{"outward", "inward", "across", "outward or down", "outward to down"}
		p := withEnds(r, randomPlan(r, own("line", "0.74 kN/m", "top", "outward"), own("point", "0.9 kN", "top", "outward"), `schedule = "EN ISO 14122-3"`))
		ends := p.change
		word := words[r.IntN(len(words))]
		on := func(side barrier.Side) *analysis.Analysis {
			p.change = func(d *barrier.Definition) {
				ends(d)
				d.Run.Hazard = side
				d.Loads[1].Own.Direction.Word = word
			}
			return ready(t, p.definition(t))
		}
		left, right := on(barrier.Left), on(barrier.Right)
		names, here := elements(left)
		_, there := elements(right)
		measures := strengthAndMovement()
		for k := range here {
			a, b := worst(left, here[k], measures), worst(right, there[k], measures)
			for m := range measures {
				x, y := a[m].Value, b[m].Value
				if math.Abs(x-y) > 2*slack*math.Abs(x)+negligible(&measures[m]) {
					t.Errorf("seed %d, %s %s: %.12g (%s), on the right %.12g (%s)", seed, names[k], measures[m].name, x, &a[m].Placement, y, &b[m].Placement)
				}
				opposite := measures[m].name != "across" || word == "outward to down" // which may end at either of two opposite ways
				if v := a[m].State.Across + b[m].State.Across; !opposite && math.Abs(v) > 1e-7*math.Abs(x) {
					t.Errorf("seed %d, %s: moves %g m and %g m, want opposite ways", seed, names[k], a[m].State.Across, b[m].State.Across)
				}
			}
		}
	}
}

// Point and line loads on runs with walls, overhangs and fittings that weigh, stand off
// or hold, against brute force.
func TestEndsAgainstBruteForce(t *testing.T) {
	t.Parallel()
	for seed := range uint64(4) {
		r := rand.New(rand.NewPCG(22, seed))
		p := withEnds(r, randomPlan(r, own("point", "0.9 kN", "top", "outward")))
		p.posts, p.rails = p.posts[:3], p.rails[:1]
		p.rails[0].splices = nil
		ends := p.change
		p.change = func(d *barrier.Definition) { ends(d); d.Run.Hazard = barrier.Left } // brute force knows outward as +Y
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			againstBruteForce(t, &p, "outward", fewMeasures(), grids{step: 0.2, turn: 1, best: 1})
		})
	}
}

// What stands at feet and walls is what acts, in every direction.
func TestEquilibriumWithWalls(t *testing.T) {
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(23, seed))
		p := withEnds(r, randomPlan(r, mixed(r)...))
		d := p.definition(t)
		a := ready(t, d)
		found := a.Worst(a.Post(0).Probes[0], 0, analysis.Strength, measure(interaction))
		want := acting(&found)
		want[2] -= found.Combination.Permanent * weightOf(d)
		var held solver.Vec
		for i := range d.Run.Posts {
			st := a.Trace(a.Post(i), &found)[0].State // local x is up, y along Y, z against the run
			held = solver.Vec{held[0] - st.Vz, held[1] + st.Vy, held[2] + st.N}
		}
		for rail := range d.Rails {
			for end := range 2 {
				if w := a.Wall(end, rail); w != nil {
					at := found
					at.Probe = w
					st := a.Replay(&at)
					held = solver.Vec{held[0] + st.N, held[1] + st.Vy, held[2] + st.Vz}
				}
			}
		}
		size := math.Sqrt(dot(want, want))
		for k := range want {
			if math.Abs(held[k]-want[k]) > 1e-8*size {
				t.Errorf("seed %d, %s: feet and walls carry %.9g along axis %d, %.9g acts", seed, &found.Placement, held[k], k, want[k])
			}
		}
	}
}

// A load at the tip of an overhang lifts the bay beside it by P c L²/(9√3 EI), at L/√3 from the
// far post; with c a third of L that is more than the P L³/48EI of a load at the middle, though
// at the middle and at the quarter points of the bay a load in it does more.
func TestTipOfAnOverhangMovesTheBay(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const length, force, c = 1.5, 900.0, 0.33 * 1.5
	p := oneRail(evenly(2, length), 1.1, math.Inf(1), own("point", "0.9 kN", "top", "outward"))
	p.change = func(d *barrier.Definition) { d.Run.Overhang[1] = c }
	d := p.definition(t)
	EI := ei(&d.Rails[0].Member)
	found := along1(ready(t, d), measure(span))
	want := force * c * length * length / (9 * math.Sqrt(3) * EI)
	(&row{"movement from the chord, m", "beam overhanging one support, load at the end, AISC Table 3-23 case 26 (memory)", found.Value, want, 1e-9 * want}).outside(t, record, "overhang: the bay beside it")
	(&row{"place of the load, m", "the tip", found.Placement.X, length + c, 1e-9}).outside(t, record, "overhang: the bay beside it")
	(&row{"section, m", "L/√3 from the far post", sought(found.Probe.From + found.Station), length / math.Sqrt(3), 1e-4}).outside(t, record, "overhang: the bay beside it")
}
