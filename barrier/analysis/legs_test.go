package analysis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/solver"
)

// Runs that turn, climb, or have gaps.

const right = math.Pi / 2

// bent gives a plan legs that end at some of its posts, from 0, with their turns and pitches
// (rad, one pitch more than turns), and gaps in some of its bays.
func bent(p plan, corners []int, turns, pitches []float64, gaps ...int) plan {
	before := p.change
	p.change = func(d *barrier.Definition) {
		if before != nil {
			before(d)
		}
		run := &d.Run
		from, to := run.RailEnds()
		leg := barrier.Leg{From: from, Pitch: pitches[0]}
		for i, post := range corners {
			leg.To = run.Posts[post]
			run.Legs = append(run.Legs, leg)
			leg = barrier.Leg{From: leg.To, Turn: turns[i], Pitch: pitches[i+1]}
		}
		leg.To = to
		run.Legs = append(run.Legs, leg)
		for _, bay := range gaps {
			s := run.Supports()
			run.Gaps = append(run.Gaps, barrier.Gap{From: s[bay], To: s[bay+1]})
		}
	}
	return p
}

// bentPlans are runs of each kind: an L, a U, a stair flight with a landing, a spiral with
// walls, offsets and clamping fittings, a run with a gap, and one whose gap starts at a corner.
func bentPlans(loads ...string) map[string]plan {
	rails := func(p plan) plan {
		p.rails = append(p.rails, railPlan{name: "knee", height: 0.55, tube: "EN 10219 42.4x3.2"})
		return p
	}
	base := func(posts []float64, foot float64) plan { return oneRail(posts, 1.1, foot, loads...) }
	dressed := func(p plan) plan {
		p.change = func(d *barrier.Definition) {
			d.Fitting.Offset, d.Fitting.Mass, d.Fitting.Corner.Mass = 0.06, 0.8, 1.1
			d.Fitting.Moment = barrier.Joint{Kind: barrier.StiffnessJoint, Stiffness: [3]float64{4e3, 6e3, 9e3}}
			d.Run.Overhang[1] = 0.3
			d.Run.Start = barrier.End{Wall: true, X: -0.9, Rotation: [3]bool{true, false, true}}
		}
		return p
	}
	walled := func(p plan) plan {
		p.change = func(d *barrier.Definition) {
			d.Run.Start = barrier.End{Wall: true, X: -1, AlongHeld: true, Rotation: [3]bool{false, true, true}}
			d.Run.End = barrier.End{Wall: true, X: 3.5}
			d.Fitting.Offset = -0.05
		}
		return p
	}
	return map[string]plan{
		"L":          bent(rails(base([]float64{0, 1.3, 2.5, 3.9}, 60e3)), []int{2}, []float64{right}, []float64{0, 0}),
		"U":          bent(base([]float64{0, 1.2, 2.3, 3.6}, math.Inf(1)), []int{1, 2}, []float64{-right, -1.1}, []float64{0, 0, 0}),
		"stair":      bent(base([]float64{0, 1.3, 2.5, 3.9, 5}, 80e3), []int{2}, []float64{0}, []float64{0.6, 0}),
		"dressed":    bent(dressed(rails(base([]float64{0, 1.2, 2.2, 3.3}, 40e3))), []int{1, 2}, []float64{0.7, -0.4}, []float64{0, -0.5, 0.3}),
		"walls":      bent(walled(base([]float64{0, 1.2, 2.3}, 50e3)), []int{1}, []float64{0.9}, []float64{0.5, -0.35}),
		"gap":        bent(base([]float64{0, 1.2, 2.3, 3.2, 4.4}, 70e3), nil, nil, []float64{0}, 2),
		"corner gap": bent(rails(base([]float64{0, 1.2, 2.2, 3.2, 4.4}, 70e3)), []int{1, 3}, []float64{right, 0.5}, []float64{0, 0.2, 0}, 1),
	}
}

func bentNames() []string {
	return []string{"L", "U", "stair", "dressed", "gap", "corner gap", "walls"}
}

// A point load on runs that turn, climb or have gaps.
func TestPointLoadOnLegsAgainstBruteForce(t *testing.T) {
	t.Parallel()
	for i, name := range bentNames() {
		word := []string{"across", "down", "along", "across", "outward", "down", "across"}[i]
		p := bentPlans(own("point", "0.9 kN", "top", word))[name]
		t.Run(name+" "+word, func(t *testing.T) {
			againstBruteForce(t, &p, word, strengthAndMovement(), grids{step: 0.2, turn: 1, best: 2})
		})
	}
}

// A load that may point any way on the level, and one longer with the bay.
func TestTurningLoadOnLegsAgainstBruteForce(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"U", "stair"} {
		p := bentPlans(own("point", "0.9 kN", "top", "horizontal"))[name]
		againstBruteForce(t, &p, "horizontal", fewMeasures(), grids{step: 0.4, turn: 30, best: 1})
	}
	p := bentPlans("schedule = \"EN ISO 14122-3\"")["gap"]
	againstBruteForce(t, &p, "outward", strengthAndMovement(), grids{step: 0.2, turn: 1, best: 2})
}

// A line load over adverse lengths round corners and over gaps.
func TestLineLoadOnLegsAgainstBruteForce(t *testing.T) {
	t.Parallel()
	for i, name := range bentNames() {
		word := []string{"outward", "down", "outward", "outward", "outward", "across", "down"}[i]
		_, vectors := ways(word, 1)
		p := bentPlans(own("line", "0.74 kN/m", "top", word))[name]
		t.Run(name+" "+word, func(t *testing.T) {
			lineAgainstBruteForce(t, &p, vectors, 0.3, 0.12, rand.New(rand.NewPCG(40, uint64(i))))
		})
	}
}

// The movement of a post at a corner, across the leg that begins there: the same load solved
// again gives it, and brute force finds none larger.
func TestCornerPostSeenFromTheOtherLeg(t *testing.T) {
	p := bentPlans(own("point", "0.9 kN", "top", "across"))["U"]
	d := p.definition(t)
	a, ref := ready(t, d), newReference(t, d)
	for _, post := range []int{1, 2} {
		e := a.Turned(post)
		m := named{"across", analysis.Service, across}
		found := worst(a, e, []named{m})[0]
		leg := post // the leg that begins at that post
		looked := 0.0
		loads, _ := ref.spots(a.Actions[0], 0.05)
		places := ref.sections(e, loads)
		for i := range places {
			places[i].told = leg
		}
		for _, at := range loads {
			for _, st := range ref.states(ref.pointCase(a.Actions[0], at, solver.Vec{0, 900, 0}), places) {
				looked = math.Max(looked, across(&st))
			}
		}
		if found.Value < looked*(1-1e-9) || found.Value > looked*1.01 {
			t.Errorf("post %d moves %.9g m across leg %d, brute force on a grid of 0.05 m finds %.9g", post+1, found.Value, leg+1, looked)
		}
		if placement, _, _ := a.Verify(&found); placement > 1e-8 {
			t.Errorf("post %d: solved again it differs by %.1e", post+1, placement)
		}
	}
	for _, p := range a.Turned(2).Probes {
		if !slices.Contains(a.Turned(2).Probes, p) {
			t.Error("a post in the axes of the leg that begins there is another one each time")
		}
	}
	if a.Turned(0) != nil || ready(t, new(bentPlans(own("point", "1 kN", "top", "down"))["stair"]).definition(t)).Turned(2) != nil {
		t.Error("a post where the run does not turn is seen from another leg")
	}
}

// The base moment of a corner post is the worst over loads on either leg and on both: no
// less than under a line load on the one, on the other and on both, and under lengths of
// them (the project's engineering rules, 4).
func TestCornerPostUnderEitherLegAndBoth(t *testing.T) {
	p := bentPlans(own("line", "0.74 kN/m", "top", "outward"))["L"]
	a, ref := ready(t, p.definition(t)), newReference(t, p.definition(t))
	const corner = 2
	found := a.Worst(a.Post(corner).Probes[0], 0, analysis.Service, measure(moment))
	foot := ref.members(a.Post(corner))[:1]
	largest := 0.0
	for _, lengths := range [][]solver.Length{{{From: 0, To: 2.5}}, {{From: 2.5, To: 3.9}}, {{From: 0, To: 3.9}}, {{From: 1.3, To: 3.9}}} {
		st := ref.states(ref.lineCase(a.Actions[0], lengths, solver.Vec{0, 740, 0}), foot)[0]
		largest = math.Max(largest, moment(&st))
	}
	if found.Value < largest*(1-1e-9) || largest == 0 {
		t.Errorf("base moment %.9g Nm under %s, the legs loaded one by one and together give %.9g", found.Value, &found.Placement, largest)
	}
}

// Every load found on members and joints of such runs, solved again as an ordinary load
// case, gives its state; and a grip passes on what its post loses there.
func TestVerifyOnLegs(t *testing.T) {
	for _, name := range bentNames() {
		p := bentPlans("schedule = \"EN ISO 14122-3\"", own("point", "0.5 kN", "top", "any"), own("line", "0.36 kN/m", "top", "down"))[name]
		a, ref := ready(t, p.definition(t)), newReference(t, p.definition(t))
		prove := func(what string, found analysis.Placed) {
			t.Helper()
			if placement, stiffness, equilibrium := a.Verify(&found); !(placement < 1e-8 && stiffness < 1e-8 && equilibrium < 1e-8) {
				t.Errorf("%s, %s under %s: placement %.1e, stiffness %.1e, equilibrium %.1e", name, what, &found.Placement, placement, stiffness, equilibrium)
			}
		}
		names, all := elements(a)
		for k, e := range all {
			for _, found := range worst(a, e, strengthAndMovement()) {
				prove(names[k], found)
			}
		}
		for _, q := range joints(a) {
			prove("joint", a.Worst(q, 0, analysis.Strength, measure(interaction)))
		}
		for rail, rf := range a.Frame.Rails {
			for post := range a.Frame.Posts {
				whole, _ := a.Grip(rail, post)
				found := a.Worst(whole, 0, analysis.Strength, measure(interaction))
				got := [6]float64{found.State.N, found.State.Vy, found.State.Vz, found.State.T, found.State.My, found.State.Mz}
				lost := ref.lostAt(ref.m.Solve(a.Case(&found)), post, rf.Grips[post].Level)
				scale := found.State.Shear() + math.Abs(found.State.N)
				for c := range got {
					if math.Abs(got[c]-lost[c]) > 1e-8*scale {
						t.Errorf("%s: grip of rail %d at post %d passes %.9g, its post loses %.9g (source: statics)", name, rail+1, post+1, got, lost)
						break
					}
				}
			}
		}
	}
}

// What posts do to their feet and rails to their walls, told in the axes of their legs, is in
// balance with a load: forces, and moments about the origin.
func TestEquilibriumOfLegs(t *testing.T) {
	for _, name := range bentNames() {
		p := bentPlans(own("point", "0.9 kN", "top", "any"))[name]
		d := p.definition(t)
		a, ref := ready(t, d), newReference(t, d)
		chain := ref.stretches(a.Actions[0])
		for stretch, ends := range chain {
			x := ends[0] + 0.4*(ends[1]-ends[0])
			if ref.inGap(x) {
				continue
			}
			placed := placedPoint(a, stretch, x)
			placed.Placement.Way = [3]float64{0.48, 0.6, -0.64}
			var force, turn solver.Vec
			add := func(leg int, at solver.Vec, f, m solver.Vec) {
				f, m = ref.global(leg, f), ref.global(leg, m)
				for k := range f {
					force[k] += f[k]
					turn[k] += m[k] + at[(k+1)%3]*f[(k+2)%3] - at[(k+2)%3]*f[(k+1)%3]
				}
			}
			offset := d.Fitting.Offset
			leg := ref.legOf(x)
			add(leg, d.Run.At(leg, x, offset, 1.1), times(-900, placed.Placement.Way), solver.Vec{})
			for post, px := range d.Run.Posts {
				placed.Probe = a.Post(post).Probes[0]
				st := a.Replay(placed)
				add(ref.legOf(px), d.Run.At(ref.legOf(px), px, 0, p.level), solver.Vec{-st.Vz, st.Vy, st.N}, solver.Vec{-st.Mz, st.My, st.T})
			}
			for rail := range d.Rails {
				for end := range 2 {
					if placed.Probe = a.Wall(end, rail); placed.Probe == nil {
						continue
					}
					st, leg := a.Replay(placed), ref.legOf(placed.Probe.From)
					add(leg, d.Run.At(leg, placed.Probe.From, offset, d.Rails[rail].Height), solver.Vec{st.N, st.Vy, st.Vz}, solver.Vec{st.T, st.My, st.Mz})
				}
			}
			for k := range force {
				if math.Abs(force[k]) > 1e-6 || math.Abs(turn[k]) > 1e-5 {
					t.Errorf("%s, load at %.3f m: forces sum to %.3g N, moments to %.3g Nm (source: statics)", name, x, force, turn)
					break
				}
			}
		}
	}
}

// lostAt returns the force and the moment that a post loses at a level, in the axes of its
// leg: local x is up, y to the left, z against the run.
func (r *reference) lostAt(s *solver.Solution, post, level int) (lost [6]float64) {
	take := func(m solver.MemberID, end bool, sign float64) {
		d := s.Diagram(m)
		at := 0.0
		if end {
			at = d.Breaks[len(d.Breaks)-1]
		}
		f := func(c solver.Component) float64 { return sign * d.At(c, at) }
		for k, v := range [6]float64{-f(solver.ShearZ), f(solver.ShearY), f(solver.Axial), -f(solver.MomentZ), f(solver.MomentY), f(solver.Torsion)} {
			lost[k] += v
		}
	}
	members := r.f.Posts[post].Members
	take(members[level-1], true, -1)
	if level < len(members) {
		take(members[level], false, 1)
	}
	return lost
}

// same holds two runs to the same results, element by element.
func same(t *testing.T, what string, a, b *analysis.Analysis, twin func(element int) int, measures []named) {
	t.Helper()
	names, all := elements(a)
	_, other := elements(b)
	for k := range all {
		here, there := worst(a, all[k], measures), worst(b, other[twin(k)], measures)
		for i := range measures {
			x, y := here[i].Value, there[i].Value
			if math.Abs(x-y) > 3e-9*math.Abs(x)+negligible(&measures[i]) {
				t.Errorf("%s, %s %s: %.12g (%s), its twin %.12g (%s)", what, names[k], measures[i].name, x, &here[i].Placement, y, &there[i].Placement)
			}
		}
	}
}

// An L whose hazard is on the right is the mirror of one that turns the other way with the
// hazard on the left; and walked from its end an L is one with the same turn and the hazard
// on the other side.
func TestMirroredLegs(t *testing.T) {
	posts := []float64{0, 1.3, 2.5, 3.9}
	loads := []string{own("point", "0.9 kN", "top", "outward"), own("line", "0.5 kN/m", "top", "down")}
	build := func(posts []float64, corner int, turn float64, side barrier.Side) *analysis.Analysis {
		p := bent(oneRail(posts, 1.1, 60e3, loads...), []int{corner}, []float64{turn}, []float64{0.3, 0})
		before := p.change
		p.change = func(d *barrier.Definition) { before(d); d.Run.Hazard = side; d.Fitting.Offset = 0.05 }
		return ready(t, p.definition(t))
	}
	self := func(k int) int { return k }
	same(t, "mirrored in plan", build(posts, 2, 1.2, barrier.Left), build(posts, 2, -1.2, barrier.Right), self, strengthAndMovement())

	level := func(posts []float64, corner int, turn float64, side barrier.Side) *analysis.Analysis {
		p := bent(oneRail(posts, 1.1, 60e3, loads...), []int{corner}, []float64{turn}, []float64{0, 0})
		before := p.change
		p.change = func(d *barrier.Definition) { before(d); d.Run.Hazard = side }
		return ready(t, p.definition(t))
	}
	back := []float64{0, 3.9 - 2.5, 3.9 - 1.3, 3.9}
	reversed := func(k int) int {
		if k < len(posts) {
			return len(posts) - 1 - k
		}
		return k
	}
	measures := slices.DeleteFunc(strengthAndMovement(), func(m named) bool { return m.level == analysis.Service })
	same(t, "walked from its end", level(posts, 2, 1.2, barrier.Left), level(back, 1, -1.2, barrier.Right), reversed, measures)
}

// A load on the second leg of an L does what one on the first does to the L that is walked
// from its end.
func TestLoadOnEitherLeg(t *testing.T) {
	build := func(posts []float64, corner int, turn float64, side barrier.Side) *analysis.Analysis {
		p := bent(oneRail(posts, 1.1, 60e3, own("point", "1 kN", "top", "outward")), []int{corner}, []float64{turn}, []float64{0, 0})
		before := p.change
		p.change = func(d *barrier.Definition) { before(d); d.Run.Hazard = side }
		return ready(t, p.definition(t))
	}
	a, b := build([]float64{0, 1.3, 2.5, 3.9}, 2, 1.2, barrier.Left), build([]float64{0, 1.4, 2.6, 3.9}, 1, -1.2, barrier.Right)
	for _, x := range []float64{2.7, 3.2, 3.9} {
		for post := range 4 {
			here := onStretch(a, a.Post(post).Probes[0], 2, x)
			there := onStretch(b, b.Post(3 - post).Probes[0], 0, 3.9-x)
			(&row{fmt.Sprintf("base moment of post %d under a load at %g m", post+1, x), "mirror", here.Moment(), there.Moment(), 1e-6}).check(t)
		}
	}
}

// onStretch places the first action at x in a stretch, unfactored and without permanent
// actions, as one probe sees it.
func onStretch(a *analysis.Analysis, p *analysis.Probe, stretch int, x float64) analysis.State {
	placed := placedPoint(a, stretch, x)
	placed.Probe = p
	return a.Replay(placed)
}

// A straight run of two legs without a turn is the run with its rails cut at that post.
func TestLegsWithoutTurnAreACut(t *testing.T) {
	posts := []float64{0, 1.3, 2.5}
	loads := []string{own("point", "0.9 kN", "top", "horizontal"), own("line", "0.5 kN/m", "top", "outward")}
	legs := bent(oneRail(posts, 1.1, 60e3, loads...), []int{1}, []float64{0}, []float64{0, 0})
	cut := oneRail(posts, 1.1, 60e3, loads...)
	cut.rails[0].cut = true
	same(t, "two legs in line", ready(t, legs.definition(t)), ready(t, cut.definition(t)), func(k int) int { return k }, strengthAndMovement())
}

// A turned copy of a straight run does what the run does: the first leg at an azimuth of its
// own.
func TestTurnedRun(t *testing.T) {
	for _, angle := range []float64{right, 0.7, -2.4} {
		r := rand.New(rand.NewPCG(41, 1))
		p := withEnds(r, randomPlan(r, mixed(r)...))
		q := bent(p, nil, nil, []float64{0})
		before := q.change
		q.change = func(d *barrier.Definition) { before(d); d.Run.Legs[0].Turn = angle }
		same(t, fmt.Sprintf("turned by %.2f", angle), ready(t, p.definition(t)), ready(t, q.definition(t)), func(k int) int { return k }, strengthAndMovement())
	}
}

// A gap makes two runs of one: the same as two barriers of their own.
func TestGapIsTwoRuns(t *testing.T) {
	posts := []float64{0, 1.2, 2.6, 3.5, 4.9, 6.0}
	loads := []string{"schedule = \"EN ISO 14122-3\"", own("line", "0.5 kN/m", "top", "horizontal"), own("point", "0.9 kN", "top", "any")}
	with := bent(oneRail(posts, 1.1, 60e3, loads...), nil, nil, []float64{0}, 2)
	one := oneRail(posts[:3], 1.1, 60e3, loads...)
	two := oneRail([]float64{0, 1.4, 2.5}, 1.1, 60e3, loads...)
	a, first, second := ready(t, with.definition(t)), ready(t, one.definition(t)), ready(t, two.definition(t))
	measures := fewMeasures()
	for post := range posts {
		lone, at := first, post
		if post > 2 {
			lone, at = second, post-3
		}
		here, there := worst(a, a.Post(post), measures), worst(lone, lone.Post(at), measures)
		for i := range measures {
			if x, y := here[i].Value, there[i].Value; math.Abs(x-y) > 3e-9*math.Abs(x) {
				t.Errorf("post %d %s: %.12g with the gap, %.12g alone", post+1, measures[i].name, x, y)
			}
		}
	}
	for i, m := range worst(a, a.Rail(0), measures) {
		x, y := worst(first, first.Rail(0), measures)[i].Value, worst(second, second.Rail(0), measures)[i].Value
		if math.Abs(m.Value-math.Max(x, y)) > 3e-9*m.Value {
			t.Errorf("rail %s: %.12g with the gap, %.12g and %.12g alone", measures[i].name, m.Value, x, y)
		}
	}
}

// Closed forms of a pitched run: what acts across does what it does on the level; a vertical
// force P at the middle of a bay splits into P sin along the rail and P cos square to it, and
// a load along the post's top bends the post alone.
func TestPitchedRunAgainstClosedForms(t *testing.T) {
	record := verification.New(t, verification.Placement)
	const pitch, load, bay = 0.6, 1000.0, 1.5
	build := func(direction string) *analysis.Analysis {
		p := bent(oneRail([]float64{0, bay}, 1.1, math.Inf(1), own("point", "1 kN", "top", direction)), nil, nil, []float64{pitch})
		p.change = func(before func(*barrier.Definition)) func(*barrier.Definition) {
			return func(d *barrier.Definition) {
				before(d)
				stiffen(&d.Post.Member, 1e7)
			}
		}(p.change)
		return ready(t, p.definition(t))
	}
	down, out := build("down"), build("outward")
	rail := down.Rail(0).Probes[0]
	placed := placedPoint(down, 0, bay/2)
	placed.Probe, placed.Station = rail, bay/4
	middle := down.Replay(placed)
	sin, cos := math.Sincos(pitch)
	foot := on(out, out.Post(0).Probes[0], 0)
	for _, r := range []row{
		{"base moment of a post under P across at its top, Nm", "P h, as on the level", foot.Moment(), load * 1.1, 1e-3},
		{"moment of a rail at a quarter under P down at mid-span, Nm", "P cos a L/8", math.Abs(middle.My), load * cos * bay / 8, 1e-3},
		{"shear of the rail there, N", "P cos a / 2", math.Abs(middle.Vz), load * cos / 2, 1e-3},
		{"axial force of the rail there, N", "P sin a / 2 between two equal posts", math.Abs(middle.N), load * sin / 2, 1e-2},
	} {
		r.outside(t, record, "run on a slope")
	}
}

// The words of a load say on which legs it stands, and nothing of legs on a straight run.
func TestWordsOfLegs(t *testing.T) {
	p := bentPlans(own("line", "0.74 kN/m", "top", "outward"))["U"] // corners at 1.2 and 2.3 m
	a := ready(t, p.definition(t))
	straight := oneRail([]float64{0, 1.2, 2.3, 3.6}, 1.1, 60e3, own("point", "0.9 kN", "top", "down"))
	s := ready(t, straight.definition(t))
	line := func(lengths ...solver.Length) *analysis.Placement {
		return &analysis.Placement{Action: a.Actions[0], Value: 740, Way: [3]float64{1}, Lengths: lengths}
	}
	for _, c := range []struct {
		of   *analysis.Placement
		want string
	}{
		{line(solver.Length{From: 0, To: 1.2}), "line 0.740 kN/m outward on top rail over x = 0.000 to 1.200 m on leg 1"},
		{line(solver.Length{From: 0.5, To: 2}), "line 0.740 kN/m outward on top rail over x = 0.500 to 2.000 m on legs 1 and 2"},
		{line(solver.Length{From: 0.5, To: 1}, solver.Length{From: 3, To: 3.6}), "line 0.740 kN/m outward on top rail over x = 0.500 to 1.000 m, 3.000 to 3.600 m on legs 1 and 3"},
		{line(solver.Length{From: 0, To: 3}), "line 0.740 kN/m outward on top rail over x = 0.000 to 3.000 m on legs 1, 2 and 3"},
		{&analysis.Placement{Action: s.Actions[0], Value: 900, Way: [3]float64{-1}, X: 2.3}, "point 0.900 kN down on top rail at x = 2.300 m"},
	} {
		if got := c.of.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
