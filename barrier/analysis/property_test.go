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

// mixed are loads of every kind that random barriers are tried with.
func mixed(r *rand.Rand) []string {
	all := []string{
		"schedule = \"EN ISO 14122-3\"", "schedule = \"EN 1991-1-1 UK v\"",
		own("point", "0.6 kN", "top", "across"), own("point", "0.5 kN", "top", "horizontal"), own("point", "0.5 kN", "top", "any"),
		own("line", "0.36 kN/m", "top", "down"), own("line", "0.36 kN/m", "top", "along"),
		own("point", "0.4 kN", "top", `{ azimuth = "-120 deg", elevation = "25 deg" }`),
	}
	r.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	return all[:3]
}

// joints returns every grip and every splice of the barrier.
func joints(a *analysis.Analysis) (out []*analysis.Probe) {
	for rail := range a.Frame.Rails {
		for post := range a.Frame.Posts {
			whole, ends := a.Grip(rail, post)
			out = append(append(out, whole), ends...)
		}
		for i := range a.Frame.Rails[rail].Splices {
			out = append(out, a.Splice(rail, i))
		}
		for end := range 2 {
			if w := a.Wall(end, rail); w != nil {
				out = append(out, w)
			}
		}
	}
	return out
}

// A report stops beyond 1e-8 (the project's design, "Each solve proves itself"),
// so every load found, on every member and joint, solved again as an ordinary
// load case, must give its state to that.
func TestVerify(t *testing.T) {
	const trusted = 1e-8
	for seed := range uint64(8) {
		r := rand.New(rand.NewPCG(7, seed))
		p := randomPlan(r, mixed(r)...)
		if seed >= 4 {
			p = withEnds(r, p)
		}
		d := p.definition(t)
		a := ready(t, d)
		proved := 0
		prove := func(name string, found analysis.Placed) {
			t.Helper()
			if !found.Found() {
				return
			}
			proved++
			placement, stiffness, equilibrium := a.Verify(&found)
			if !(placement < trusted && stiffness < trusted && equilibrium < trusted) {
				t.Errorf("seed %d, %s: %s, at %.6f of member from %.4f, after %v: placement %.1e, stiffness %.1e, equilibrium %.1e",
					seed, name, &found.Placement, found.Station, found.Probe.From, found.After, placement, stiffness, equilibrium)
			}
		}
		names, all := elements(a)
		measures := strengthAndMovement()
		for k, e := range all {
			for m, found := range worst(a, e, measures) {
				prove(names[k]+" "+measures[m].name, found)
			}
		}
		for _, q := range joints(a) {
			for _, m := range measures[:6] {
				name := fmt.Sprintf("joint of post %d, rail %d, %s", q.Post+1, q.Rail+1, m.name)
				prove(name, a.Worst(q, 0, m.level, measure(m.of)))
			}
		}
		if stiffness, equilibrium := a.Residual(); !(stiffness < trusted && equilibrium < trusted) {
			t.Errorf("seed %d: residuals %g, %g", seed, stiffness, equilibrium)
		}
		if proved < 40 {
			t.Errorf("seed %d: only %d loads proved", seed, proved)
		}
	}
}

// What stands at the feet is what acts on the barrier, in every direction; and
// the feet in the package's own trace say the same.
func TestEquilibrium(t *testing.T) {
	for seed := range uint64(8) {
		r := rand.New(rand.NewPCG(8, seed))
		p := randomPlan(r, mixed(r)...)
		d := p.definition(t)
		a, ref := ready(t, d), newReference(t, d)
		weight := weightOf(d)
		for post := range d.Run.Posts {
			found := a.Worst(a.Post(post).Probes[0], 0, analysis.Strength, measure(interaction))
			want := acting(&found)
			want[2] -= found.Combination.Permanent * weight
			var reactions, feet solver.Vec
			for _, q := range ref.m.Solve(a.Case(&found)).Reactions {
				if q.Freedom <= solver.UZ {
					reactions[q.Freedom] -= q.Value
				}
			}
			for i := range d.Run.Posts {
				st := a.Trace(a.Post(i), &found)[0].State // what the post does to its foot; local x is up, y outward, z against the run
				feet = solver.Vec{feet[0] - st.Vz, feet[1] + st.Vy, feet[2] + st.N}
			}
			size := math.Sqrt(dot(want, want))
			for k := range want {
				if math.Abs(reactions[k]-want[k]) > 1e-8*size || math.Abs(feet[k]-want[k]) > 1e-8*size {
					t.Errorf("seed %d, %s: feet carry %.9g (traced %.9g) along axis %d, %.9g acts", seed, &found.Placement, reactions[k], feet[k], k, want[k])
				}
			}
		}
	}
}

// A grip passes to the rail what the post's own section forces lose at that
// level, and a splice what stands in the rail there; read from ordinary load cases.
func TestJointsAgainstTheirMembers(t *testing.T) {
	for seed := range uint64(10) {
		r := rand.New(rand.NewPCG(16, seed))
		p := randomPlan(r, mixed(r)...)
		if seed >= 4 {
			p = withEnds(r, p)
		}
		a, ref := ready(t, p.definition(t)), newReference(t, p.definition(t))
		same := func(what string, found *analysis.Placed, x, y, z float64) {
			t.Helper()
			size := found.State.Shear() + math.Abs(found.State.N)
			if d := math.Abs(found.State.N-x) + math.Abs(found.State.Vy-y) + math.Abs(found.State.Vz-z); d > 1e-8*size {
				t.Errorf("seed %d, %s under %s: %.9g, %.9g, %.9g N, its members say %.9g, %.9g, %.9g", seed, what, &found.Placement, found.State.N, found.State.Vy, found.State.Vz, x, y, z)
			}
		}
		for rail, rf := range a.Frame.Rails {
			for post := range a.Frame.Posts {
				whole, _ := a.Grip(rail, post)
				found := a.Worst(whole, 0, analysis.Strength, measure(interaction))
				s := ref.m.Solve(a.Case(&found))
				pf, level := &ref.f.Posts[post], rf.Grips[post].Level
				below := s.Diagram(pf.Members[level-1])
				end := below.Breaks[len(below.Breaks)-1]
				x, y, z := below.At(solver.ShearZ, end), -below.At(solver.ShearY, end), -below.At(solver.Axial, end)
				if level < len(pf.Members) {
					above := s.Diagram(pf.Members[level])
					x, y, z = x-above.At(solver.ShearZ, 0), y+above.At(solver.ShearY, 0), z+above.At(solver.Axial, 0)
				}
				name := fmt.Sprintf("grip of rail %d at post %d", rail+1, post+1)
				same(name, &found, x, y, z)
				// Moments are about the post's axis: local x is up, y along Y, z against the run.
				turn := [3]float64{below.At(solver.MomentZ, end), -below.At(solver.MomentY, end), -below.At(solver.Torsion, end)}
				if level < len(pf.Members) {
					above := s.Diagram(pf.Members[level])
					turn[0] -= above.At(solver.MomentZ, 0)
					turn[1] += above.At(solver.MomentY, 0)
					turn[2] += above.At(solver.Torsion, 0)
				}
				scale := found.State.Shear() + math.Abs(found.State.N) // at one metre
				for k, got := range [3]float64{found.State.T, found.State.My, found.State.Mz} {
					if math.Abs(got-turn[k]) > 1e-8*scale {
						t.Errorf("seed %d, %s under %s: moment %.9g Nm about axis %d, its members say %.9g", seed, name, &found.Placement, got, k, turn[k])
					}
				}
			}
			for i, splice := range rf.Splices {
				found := a.Worst(a.Splice(rail, i), 0, analysis.Strength, measure(shear))
				c := a.Case(&found)
				for k, load := range c.Points { // a load on the splice stands a hair beyond it
					if load.Member == splice.RightID && load.At == 0 {
						c.Points[k].At = 1e-10
					}
				}
				right := ref.m.Solve(c).Diagram(splice.RightID)
				same(fmt.Sprintf("splice %d of rail %d", i+1, rail+1), &found, right.At(solver.Axial, 0), right.At(solver.ShearY, 0), right.At(solver.ShearZ, 0))
				if found.State.Moment() > 1e-9*found.State.Shear() {
					t.Errorf("seed %d: splice %d of rail %d carries %g Nm, want none", seed, i+1, rail+1, found.State.Moment())
				}
			}
		}
	}
}

// acting returns the resultant of a placed load and of those placed beside it, factored, N.
func acting(p *analysis.Placed) solver.Vec {
	sum := times(p.Combination.Variable, resultant(&p.Placement))
	for i := range p.Beside {
		f := times(p.Combination.Beside.Terms[i].Factor, resultant(&p.Beside[i]))
		sum = solver.Vec{sum[0] + f[0], sum[1] + f[1], sum[2] + f[2]}
	}
	return sum
}

// resultant returns that of one action, N.
func resultant(p *analysis.Placement) solver.Vec {
	if p.Action == nil {
		return solver.Vec{}
	}
	share, length := 0.0, 1.0
	for _, s := range p.Action.Rails {
		share += s.Share
	}
	if !p.Action.Point {
		length = 0
		for _, l := range p.Lengths {
			length += l.To - l.From
		}
	}
	return times(share*length, p.Force())
}

// weightOf is the weight by hand of all tubes, pi (D - t) t times length, density
// and g (ISO 80000-3), and of a fitting for each rail at each post.
func weightOf(d *barrier.Definition) float64 {
	perMetre := func(m *barrier.Member) float64 {
		return math.Pi * (m.Ring.OD - m.Ring.Wall) * m.Ring.Wall * m.Grade.Density * standardGravity
	}
	w := float64(len(d.Run.Posts)) * (d.Post.Height - d.Post.Base.Level) * perMetre(&d.Post.Member)
	from, to := d.Run.RailEnds()
	for i := range d.Rails {
		w += (to-from)*perMetre(&d.Rails[i].Member) + float64(len(d.Run.Posts))*d.Fitting.Mass*standardGravity
	}
	return w
}

func TestWeightStandsOnTheFeet(t *testing.T) {
	record := verification.New(t, verification.Placement)
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(9, seed))
		p := randomPlan(r) // a definition has a load: a feather
		p.loads = []string{own("point", "1e-9 N", "top", "outward")}
		d := p.definition(t)
		a := ready(t, d)
		sum := 0.0
		for i := range d.Run.Posts {
			found := a.Worst(a.Post(i).Probes[0], 0, analysis.Characteristic, measure(axial))
			sum -= found.State.N
		}
		(&row{fmt.Sprintf("barrier %d: weight on the feet, N", seed+1), "pi (D - t) t rho g L of every tube, by hand", sum, weightOf(d), 1e-9 * sum}).outside(t, record, "weight of random barriers")
	}
}

// A mirrored barrier gives mirrored results.
func TestMirror(t *testing.T) {
	t.Parallel()
	for _, seed := range []uint64{1, 38, 40, 42, 52} { // near ties, peaks just off a post, any direction among them
		r := rand.New(rand.NewPCG(10, seed))
		p := randomPlan(r, mixed(r)...)
		if slices.ContainsFunc(p.loads, func(l string) bool { return l[len(l)-1] == '}' }) {
			p.loads[0] = own("point", "0.4 kN", "top", `{ azimuth = "-120 deg", elevation = "25 deg" }`)
			p.loads = p.loads[:1]
		}
		q := mirrored(&p)
		a, b := ready(t, p.definition(t)), ready(t, q.definition(t))
		names, all := elements(a)
		_, other := elements(b)
		measures := strengthAndMovement()
		posts := len(p.posts)
		for k := range all {
			m := k
			if k < posts {
				m = posts - 1 - k
			}
			there, here := worst(b, other[m], measures), worst(a, all[k], measures)
			for i := range measures {
				x, y := here[i].Value, there[i].Value
				if math.Abs(x-y) > 2e-9*math.Abs(x)+negligible(&measures[i]) {
					t.Errorf("seed %d, %s %s: %.12g (%s), mirrored %.12g (%s)", seed, names[k], measures[i].name, x, &here[i].Placement, y, &there[i].Placement)
				}
			}
		}
	}
}

// mirrored returns a plan seen from the other side of its middle: x turns round,
// and so does an azimuth.
func mirrored(p *plan) plan {
	q := *p
	end := p.posts[len(p.posts)-1]
	turn := func(values []float64) (out []float64) {
		for _, v := range values {
			out = append(out, end-v)
		}
		slices.Reverse(out)
		return out
	}
	q.posts = turn(p.posts)
	q.rails = slices.Clone(p.rails)
	for i := range q.rails {
		q.rails[i].splices = turn(p.rails[i].splices)
	}
	q.loads = slices.Clone(p.loads)
	for i, l := range q.loads {
		if l == own("point", "0.4 kN", "top", `{ azimuth = "-120 deg", elevation = "25 deg" }`) {
			q.loads[i] = own("point", "0.4 kN", "top", `{ azimuth = "-60 deg", elevation = "25 deg" }`)
		}
	}
	return q
}
