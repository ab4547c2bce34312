package check

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/solver"
)

// firstColumn returns the column of the first stretch of a run.
func firstColumn(ei, post float64, run *barrier.Run, joints barrier.Joints) *railColumn {
	return newRailColumn(ei, post, run, run.Stretches()[0], joints)
}

// everyMetre returns n posts, 1 m apart.
func everyMetre(n int) (posts []float64) {
	for i := range n {
		posts = append(posts, float64(i))
	}
	return posts
}

func TestRailColumnClosedForms(t *testing.T) {
	outside := compared(t, verification.Stability, "critical force of a rail, closed forms")
	const ei, gere = 24e3, "Timoshenko and Gere, Theory of Elastic Stability, 2nd ed., memory"
	const euler = math.Pi * math.Pi * ei
	rigid, clamp := math.Inf(1), barrier.End{Wall: true, Rotation: [3]bool{true, true, true}}
	walls := barrier.Run{Start: clamp, End: clamp}
	walls.End.X = 2
	between := barrier.Run{Posts: []float64{1}, Start: barrier.End{Wall: true}, End: barrier.End{Wall: true, X: 2}}
	propped := barrier.Run{Posts: []float64{1}, Start: clamp}
	for _, c := range []struct {
		what   string
		ei, k  float64 // N·m², N/m
		run    barrier.Run
		joints barrier.Joints
		want   float64
		source string
	}{
		{"pinned at both ends", ei, rigid, barrier.Run{Posts: everyMetre(2)}, barrier.Joints{}, euler, "Euler; 2.1"},
		{"built in at both ends of 2 m", ei, rigid, walls, barrier.Joints{}, 4 * euler / 4, "2.1"},
		{"built in and pinned", ei, rigid, propped, barrier.Joints{}, 4.493409457909064 * 4.493409457909064 * ei, "2.1: tan u = u"},
		{"three equal bays", ei, rigid, barrier.Run{Posts: everyMetre(4)}, barrier.Joints{}, euler, "2.5: each bay as if pinned"},
		{"bays of 1 m, cut at every post", ei, rigid, barrier.Run{Posts: everyMetre(4)}, barrier.Joints{Cut: true}, euler, "2.1"},
		{"two stiff bars of 1 m hinged to each other on a spring", 1e9, 500, between, barrier.Joints{Cut: true}, 500. / 2, "2.6, statics: k a/2"},
		{"a bar of 2 m on a spring at its middle, from 16π²EI/l³ on", ei, 16 * math.Pi * math.Pi * ei / 8 * 1.001, between, barrier.Joints{}, euler, "2.6: two half waves"},
		{"two stiff bars on three springs", 1e9, 3e3, barrier.Run{Posts: everyMetre(3)}, barrier.Joints{Cut: true}, 3e3 / 3, "2.10 and statics: ways 1, -2, 1: k 6/18"},
		{"a stiff bar on three springs", 1e9, 3e3, barrier.Run{Posts: everyMetre(3)}, barrier.Joints{}, 3e3, "statics: k Σ(x - x̄)²/l"},
		{"splices that pass moments through a stiff spring", ei, rigid, barrier.Run{Posts: everyMetre(4)}, barrier.Joints{Splices: []float64{0.5, 1.5, 2.5}, Moment: barrier.Joint{Stiffness: [3]float64{1e15, 1e15, 1e15}}}, euler, "2.5"},
		{"splices that share rotations", ei, rigid, barrier.Run{Posts: everyMetre(4)}, barrier.Joints{Splices: []float64{0.5, 1.5, 2.5}, Moment: barrier.Joint{Stiffness: [3]float64{rigid, rigid, rigid}}}, euler, "2.5"},
		{"two stiff bars on a hinge spring c", 1e9, rigid, barrier.Run{Posts: []float64{0, 2}}, barrier.Joints{Splices: []float64{1}, Moment: barrier.Joint{Stiffness: [3]float64{0, 100, 100}}}, 4 * 100. / 2, "2.3, statics: 4c/l"},
	} {
		got := firstColumn(c.ei, c.k, &c.run, c.joints).critical()
		outside.near(c.what+", N", got, c.want, 1e-5*c.want, c.source+" ("+gere+")")
	}
}

// A bar of two spans a on a spring k at its middle bends as one half wave below 16π²EI/(2a)³:
// with u² = N a²/EI, tan u = u (1 - 2u²EI/(k a³)). Timoshenko and Gere, 2.6, derived.
func TestRailColumnOnAMiddleSpring(t *testing.T) {
	outside := compared(t, verification.Stability, "two spans on a middle spring")
	const ei = 24e3
	run := barrier.Run{Posts: []float64{1}, Start: barrier.End{Wall: true}, End: barrier.End{Wall: true, X: 2}}
	for _, k := range []float64{1e3, 1e4, 1e5, 3e5} {
		low, high := math.Pi/2, math.Pi
		f := func(u float64) float64 { return math.Sin(u) - u*(1-2*u*u*ei/k)*math.Cos(u) }
		for range 100 {
			if m := (low + high) / 2; f(m)*f(math.Pi/2) > 0 {
				low = m
			} else {
				high = m
			}
		}
		want := low * low * ei
		outside.near("Ncr, N", firstColumn(ei, k, &run, barrier.Joints{}).critical(), want, 1e-6*want, "Timoshenko and Gere, 2.6, derived")
	}
}

// Pieces that stand on one post, which turn with those beside them.
func TestRailCriticalOfPiecesOnOnePost(t *testing.T) {
	outside := compared(t, verification.Stability, "pieces of a rail on one post")
	const source = "independent eigenvalue program, 12 elements a bay"
	for _, c := range []struct {
		ei, k          float64 // N·m², N/m
		posts, splices []float64
		overhang       float64
		want           float64
	}{
		{24e3, 20e3, []float64{0, 1.5, 3}, []float64{0.75}, 0, 3000.448},
		{24e3, 20e3, []float64{0, 1.5, 3, 4.5}, []float64{0.5}, 0, 2195.171},
		{24e3, 20e3, []float64{0, 1.5, 3, 4.5}, []float64{0.75, 3.75}, 0, 2125.121},
		{24e3, 20e3, []float64{0, 1.5, 3, 4.5}, []float64{0.5, 2}, 0, 243.5122},
		{24e3, 20e3, []float64{0, 1.5, 3, 4.5, 6, 7.5}, []float64{2.5, 3.5}, 0, 2299.779},
		{2e3, 1e5, []float64{0, 1, 2.2, 3, 4.5, 6}, []float64{0.8, 2.5}, 0, 5926.220},
		{1e5, 8e3, []float64{0, 1.2, 2.4, 3.6}, []float64{0.4, 2.8}, 0.3, 360.5839},
	} {
		run := barrier.Run{Posts: c.posts, Overhang: [2]float64{c.overhang, c.overhang}}
		outside.near("Ncr, N", railCritical(c.ei, c.k, &run, barrier.Joints{Splices: c.splices}), c.want, 1e-5*c.want, source)
	}
}

// A rail that is cut at its posts and is all but rigid turns on the only two that it has, however
// far it runs past them: as a bar, not as a chain of bays.
func TestRailCriticalOfACutRailOfOneBay(t *testing.T) {
	outside := compared(t, verification.Stability, "cut rail of one bay")
	const ei, k, bay, before, after = 1e9, 3430, 0.3024, 0.2, 0.3
	run := barrier.Run{Posts: []float64{0, bay}, Overhang: [2]float64{before, after}}
	want := k * bay * bay / 2 / (before + bay + after)
	outside.near("Ncr, N", railCritical(ei, k, &run, barrier.Joints{Cut: true}), want, 1e-4*want, "statics: k Σ(x - x̄)²/l")
}

// As many splices as posts less one leave the rail a mechanism: two unknowns of each piece,
// and a condition of each splice and each support.
func TestRailCriticalOfAMechanism(t *testing.T) {
	for _, c := range []struct {
		posts  []float64
		joints barrier.Joints
	}{
		{everyMetre(3), barrier.Joints{Splices: []float64{0.4, 1.6}}},
		{everyMetre(2), barrier.Joints{Splices: []float64{0.5}}},
		{everyMetre(5), barrier.Joints{Splices: []float64{0.5, 1.5, 2.5, 3.5}}},
		{everyMetre(101), barrier.Joints{Cut: true, Splices: []float64{50.5}}},
	} {
		for _, k := range []float64{3e3, 1e6, math.Inf(1)} {
			if got := railCritical(24e3, k, &barrier.Run{Posts: c.posts}, c.joints); got != 0 {
				t.Errorf("%v on posts of %v N/m: Ncr = %v N, want 0 of a mechanism", c.joints, k, got)
			}
		}
	}
}

// A mechanism is a problem of the definition, and nothing that passes.
func TestRailMechanismIsAProblem(t *testing.T) {
	s := throughRails()
	d := s.definition(t)
	supports := d.Supports()
	l := layoutOf(d, 1e5, spliceModels(d)[0])
	for i := range l.Rails {
		l.Rails[i] = barrier.Joints{}
		for j := range len(supports) - 1 {
			l.Rails[i].Splices = append(l.Rails[i].Splices, (supports[j]+supports[j+1])/2)
		}
	}
	_, err := newTubes(d, &l)
	if problems, ok := errors.AsType[barrier.Problems](err); !ok || len(problems) != 1 || problems[0].Pos.Line == 0 {
		t.Fatalf("newTubes = %v, want one problem at its line", err)
	}
}

// The critical force lies at or below that of a frame of beams with cubic geometric stiffness,
// which is above the true one, and that of the column is within 0.1 % of it: stretches at
// random, of unequal bays, overhangs, splices anywhere, and cut.
func TestRailCriticalIsALowerBoundOnRandomStretches(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 13))
	pick := func(of ...float64) float64 { return of[r.IntN(len(of))] }
	standing, onePost := 0, 0
	for range 150 {
		run := barrier.Run{Posts: []float64{0}, Overhang: [2]float64{pick(0, 0, 0.2), pick(0, 0.3)}}
		equal := r.IntN(2) == 0
		for range 1 + r.IntN(6) {
			bay := 1.5
			if !equal {
				bay = 0.6 + 1.6*r.Float64()
			}
			run.Posts = append(run.Posts, run.Posts[len(run.Posts)-1]+bay)
		}
		var joints barrier.Joints
		switch bays := len(run.Posts) - 1; r.IntN(4) {
		case 0:
			joints.Cut = true
		case 1, 2:
			for i := range bays {
				if len(joints.Splices) < bays-1 && r.IntN(2) == 0 {
					joints.Splices = append(joints.Splices, run.Posts[i]+(0.1+0.8*r.Float64())*(run.Posts[i+1]-run.Posts[i]))
				}
			}
			c := pick(0, 0, 2e3, 5e4, math.Inf(1)) // N·m/rad
			joints.Moment.Stiffness = [3]float64{0, c, c}
		}
		ei, k := pick(2e3, 8e3, 2.4e4, 1e5, 8e5), pick(3e3, 1e4, 3e4, 1e5, 4e5)
		column := firstColumn(ei, k, &run, joints)
		above := frameCritical(t, column)
		got, own := railCritical(ei, k, &run, joints), column.critical()
		if got > above*(1+1e-6) || got <= 0 || own > above*(1+1e-6) || own < above*(1-1e-3) {
			t.Errorf("EI %v, k %v, %+v, %+v: Ncr %v, of the column %v, of the frame %v", ei, k, run, joints, got, own, above)
		}
		if got == own {
			onePost++
		} else {
			standing++
		}
	}
	if standing < 30 || onePost < 30 {
		t.Errorf("%d stretches after Dunkerley and %d by the column: too few of one of them", standing, onePost)
	}
}

// A splice whose sides turn as one leaves the rail in one piece: wherever it is, the critical force
// taken is that of the rail without it, which is one half wave between two stiff posts (Euler;
// Timoshenko and Gere 2.1, memory) and is no more than that of the frame.
func TestRailCriticalOfSplicesThatShareRotations(t *testing.T) {
	const ei = 24e3
	rigid := barrier.Joint{Stiffness: [3]float64{0, math.Inf(1), math.Inf(1)}}
	euler := math.Pi * math.Pi * ei / (1.5 * 1.5)
	for _, splices := range [][]float64{{0.75}, {2}, {0.5, 2, 3.3}, {0.5, 2, 3.3, 4.9}} {
		for _, k := range []float64{3e3, 3e4, 1e12} {
			run := barrier.Run{Posts: []float64{0, 1.5, 3, 4.5}, Overhang: [2]float64{0, 0.4}}
			spliced := barrier.Joints{Splices: splices, Moment: rigid}
			got, whole := railCritical(ei, k, &run, spliced), railCritical(ei, k, &run, barrier.Joints{})
			if above := frameCritical(t, firstColumn(ei, k, &run, spliced)); got != whole || got > above {
				t.Errorf("splices at %v m, posts of %v N/m: Ncr %v N, of the rail without them %v, of the frame %v", splices, k, got, whole, above)
			}
			run.Overhang = [2]float64{}
			if one := railCritical(ei, k, &run, barrier.Joints{Splices: splices[:1], Moment: rigid}); k == 1e12 {
				near(t, "Ncr between posts that stand still, N", one, euler, 1e-3*euler, "Euler")
			}
		}
	}
}

// frameCritical returns the critical force of a column as a frame of the solver, five beams a
// piece, N.
func frameCritical(t *testing.T, c *railColumn) float64 {
	t.Helper()
	const parts = 5
	f := &solver.Frame{}
	node := func(x float64) solver.NodeID {
		n := f.Node("", solver.Vec{x, 0, 0})
		f.Restrain(n, solver.UZ, solver.RX, solver.RY)
		return n
	}
	var last solver.NodeID
	for i, at := range c.nodes {
		for p := range parts {
			if i == 0 && p < parts-1 {
				continue
			}
			x := at.x
			if i > 0 {
				x = c.nodes[i-1].x + (at.x-c.nodes[i-1].x)*float64(p+1)/parts
			}
			n := node(x)
			if i > 0 {
				beam := solver.Member{Start: last, End: n, EA: 1e9, EIy: c.ei, EIz: c.ei, GJ: c.ei, Reference: solver.Vec{0, 1, 0}}
				if p == parts-1 && !math.IsInf(at.joint, 1) {
					beam.Ends = []solver.EndTie{{End: 1, Freedom: solver.RZ, Tie: solver.Tie(at.joint)}}
				}
				f.Member(beam)
			} else {
				f.Restrain(n, solver.UX)
			}
			last = n
		}
		if at.held > 0 {
			f.Spring(last, solver.UY, at.held)
		}
	}
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	loads, err := model.Critical(solver.Case{Nodes: []solver.NodeLoad{{Node: last, Force: solver.Vec{-1e3, 0, 0}}}}, 1)
	if err != nil || len(loads) != 1 {
		t.Fatalf("critical loads %v, %v", loads, err)
	}
	return 1e3 * loads[0].Factor
}

// The parts of the sum after Dunkerley, each alone. A kink between overhangs a and b of bays L' is held by 3EI/(a²(a + L'))
// and the like of b (beam tables: the tip of an overhang moves by P a²(a + L')/3EI), and falls at K a b/(a + b); on
// posts that do not give, an overhang adds π²EI/4a² and 3EI/(a L) to its bay's π²EI/L² (Timoshenko and Gere,
// Theory of Elastic Stability, 2.1; statics).
func TestPartsOfTheRailsCriticalForce(t *testing.T) {
	const ei, a, b, bay, source = 24e3, 0.6, 0.9, 1.5, "statics, beam tables"
	held := 3*ei/(a*a*(a+bay)) + 3*ei/(b*b*(b+bay))
	near(t, "critical force of a kink, N", kinkCritical(ei, []float64{0, bay, 2 * bay, 3 * bay}, 1, bay+a), held*a*b/(a+b), 1e-9, source)
	supports := []float64{0, bay}
	want := 1 / (4*b*b/(math.Pi*math.Pi*ei) + bay*bay/(math.Pi*math.Pi*ei) + b*bay/(3*ei))
	got := dunkerley(ei, math.Inf(1), supports, [2]float64{b, 0}, [2]bool{}, barrier.Joints{}, [][2]float64{{-b, bay}})
	near(t, "critical force of an overhang, N", got, want, 1e-6, source)
}
