package analysis_test

import (
	"math"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/solver"
)

// What the reference needs for loads on posts and loads off the axes of their rails: each
// member and each couple worked out by hand.

// onPost returns the post and the height at a place of the chain of an action on posts.
func (r *reference) onPost(a *analysis.Action, x float64) (post int, z float64, ok bool) {
	for _, u := range a.Uprights() {
		if z := x - u.Start + r.d.Post.Base.Level; z > u.From-1e-9 && z < u.To+1e-9 {
			return u.Post, z, true
		}
	}
	return 0, 0, false
}

// stretchesOnPosts returns the lengths of the chain of an action on posts that lie on one member.
func (r *reference) stretchesOnPosts(a *analysis.Action) (out [][2]float64) {
	chain := -1.0
	for _, u := range a.Uprights() {
		levels := r.f.Posts[u.Post].Levels
		at := func(z float64) float64 { return u.Start + z - levels[0] }
		first := true
		for i := range len(levels) - 1 {
			from, to := math.Max(levels[i], u.From), math.Min(levels[i+1], u.To)
			if to-from < 1e-9 {
				continue
			}
			if first && chain >= 0 {
				out = append(out, [2]float64{chain, chain}) // between two posts nothing stands
			}
			first = false
			out = append(out, [2]float64{at(from), at(to)})
			chain = at(to)
		}
		if from, to := math.Max(levels[len(levels)-1], u.From), u.To; to-from > 1e-9 { // above its top
			if first && chain >= 0 {
				out = append(out, [2]float64{chain, chain})
			}
			out = append(out, [2]float64{at(from), at(to)})
			chain = at(to)
		}
	}
	return out
}

// pointOnPost is a force on a post, in the axes of the leg.
func (r *reference) pointOnPost(a *analysis.Action, at spot, force solver.Vec) (c solver.Case) {
	for _, u := range a.Uprights() {
		z := at.x - u.Start + r.d.Post.Base.Level
		if z < u.From-1e-9 || z > u.To+1e-9 {
			continue
		}
		p := &r.f.Posts[u.Post]
		last := len(p.Members) - 1
		if over := z - p.Levels[last+1]; over > 1e-9 { // above its top: there, with a couple
			f := r.global(u.Leg, times(u.Share, force))
			c.Nodes = append(c.Nodes, solver.NodeLoad{Node: p.Nodes[last+1], Force: f, Moment: solver.Vec{-over * f[1], over * f[0], 0}})
			return c
		}
		for i, id := range p.Members {
			inside := z >= p.Levels[i]-1e-9 && z < p.Levels[i+1]-1e-9
			if at.before || i == len(p.Members)-1 && z > p.Levels[i+1]-1e-9 {
				inside = z > p.Levels[i]+1e-9 && z <= p.Levels[i+1]+1e-9
			}
			if inside {
				station := math.Min(math.Max(z-p.Levels[i], 0), p.Levels[i+1]-p.Levels[i])
				c.Points = append(c.Points, solver.PointLoad{Member: id, At: station, Force: r.global(u.Leg, times(u.Share, force))})
				return c
			}
		}
	}
	r.t.Fatalf("no post at %g along the chain", at.x)
	return c
}

// lineOnPosts is a force per length of posts over lengths of the chain.
func (r *reference) lineOnPosts(a *analysis.Action, lengths []solver.Length, q solver.Vec) (c solver.Case) {
	for _, u := range a.Uprights() {
		p := &r.f.Posts[u.Post]
		last := len(p.Members)
		for _, l := range lengths {
			from := math.Max(math.Max(l.From-u.Start+p.Levels[0], u.From), p.Levels[last])
			if to := math.Min(l.To-u.Start+p.Levels[0], u.To); to > from {
				f, over := r.global(u.Leg, times(u.Share*(to-from), q)), (from+to)/2-p.Levels[last]
				c.Nodes = append(c.Nodes, solver.NodeLoad{Node: p.Nodes[last], Force: f, Moment: solver.Vec{-over * f[1], over * f[0], 0}})
			}
		}
		for i, id := range p.Members {
			for _, l := range lengths {
				at := func(x float64) float64 { return x - u.Start + p.Levels[0] }
				from := math.Max(math.Max(at(l.From), u.From), p.Levels[i])
				to := math.Min(math.Min(at(l.To), u.To), p.Levels[i+1])
				if to > from {
					f := r.global(u.Leg, times(u.Share, q))
					c.Lines = append(c.Lines, solver.LineLoad{Member: id, From: from - p.Levels[i], To: to - p.Levels[i], Start: f, End: f})
				}
			}
		}
	}
	return c
}

// inwardOnPost moves a load at the very end of a member by a hair onto it where the section is
// taken between the load and that end.
func (r *reference) inwardOnPost(a *analysis.Action, at spot, p *analysis.Placed) spot {
	const hair = 1e-10
	post, z, _ := r.onPost(a, at.x)
	if p.Probe.Post != post || p.Probe.Rail >= 0 || math.Abs(p.Probe.From+p.Station-z) > 1e-9 {
		return at
	}
	for _, end := range r.stretchesOnPosts(a) {
		switch {
		case at.before && p.After && math.Abs(at.x-end[1]) < 1e-9 && p.Station > 1e-9:
			at.x = end[1] - hair
		case !at.before && !p.After && math.Abs(at.x-end[0]) < 1e-9 && p.Station < 1e-9:
			at.x = end[0] + hair
		}
	}
	return at
}

// withCouples adds to a case of loads on rails, of an action off their axes, the couples on posts:
// what each rail does to a post, read from the diagrams on both sides of it, times the way
// from the axis of the rail to the load.
func (r *reference) withCouples(a *analysis.Action, c solver.Case) solver.Case {
	if a.Lift == 0 && a.Aside() == 0 {
		return c
	}
	for i := range c.Points { // to rounding at the end is at the end
		if l := r.f.Length(c.Points[i].Member); math.Abs(c.Points[i].At-l) < 1e-11 {
			c.Points[i].At = l
		}
	}
	s := r.m.Solve(c)
	for _, share := range a.Rails {
		for post, g := range r.f.Rails[share.Rail].Grips {
			var f solver.Vec // on the post
			add := func(id solver.MemberID, end bool, leg int) {
				d, at, sign := s.Diagram(id), 0.0, 1.0
				if end {
					at, sign = r.f.Length(id), -1
				}
				for _, load := range c.Points { // a diagram ends inside of a load at the very end
					if load.Member == id && load.At == at {
						for k := range f {
							f[k] += load.Force[k]
						}
					}
				}
				read := d.At
				if !end {
					read = d.Before
				}
				sin, cos := math.Sincos(r.pitch(leg))
				n, y, z := sign*read(solver.Axial, at), sign*read(solver.ShearY, at), sign*read(solver.ShearZ, at)
				g := r.global(leg, solver.Vec{cos*n - sin*z, y, sin*n + cos*z})
				for k := range f {
					f[k] += g[k]
				}
			}
			leg := r.legOf(r.d.Run.Posts[post])
			if g.LeftID >= 0 {
				add(g.LeftID, true, leg)
			}
			if g.RightID >= 0 {
				after := leg
				if r.d.Run.IsCorner(post) {
					after++
				}
				add(g.RightID, false, after)
			}
			left := r.global(leg, solver.Vec{0, 1, 0})
			x, y, z := a.Aside()*left[0], a.Aside()*left[1], a.Lift
			c.Nodes = append(c.Nodes, solver.NodeLoad{Node: r.f.Posts[post].Nodes[g.Level], Moment: solver.Vec{y*f[2] - z*f[1], z*f[0] - x*f[2], 0}})
		}
	}
	return c
}

// inBays cuts a length of the run to where an action stands: infill, and its edge, have none on
// overhangs.
func (r *reference) inBays(a *analysis.Action, from, to float64) (float64, float64) {
	if !a.Area && a.Where != "on the edge of the infill" {
		return from, to
	}
	x := r.supports()
	return math.Max(from, x[0]), math.Min(to, x[len(x)-1])
}
