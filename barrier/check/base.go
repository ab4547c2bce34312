package check

import (
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier/analysis"
)

// onFoot returns what a post does to its foot from the state at its start: the
// post's local y is outward, its local z against the run.
func onFoot(s *analysis.State) (fx, fy, fz, mx, my, mz float64) {
	return -s.Vz, s.Vy, s.N, -s.Mz, s.My, s.T
}

// footExtremes are the measures of the base actions.
var footExtremes = [...]struct {
	name string
	of   func(*analysis.State) float64
}{
	{"Mx+", func(s *analysis.State) float64 { return -s.Mz }},
	{"Mx-", func(s *analysis.State) float64 { return s.Mz }},
	{"My+", func(s *analysis.State) float64 { return s.My }},
	{"My-", func(s *analysis.State) float64 { return -s.My }},
	{"M", (*analysis.State).Moment},
	{"V", (*analysis.State).Shear},
	{"Fz+", func(s *analysis.State) float64 { return s.N }},
	{"Fz-", func(s *analysis.State) float64 { return -s.N }},
	{"Mz", func(s *analysis.State) float64 { return math.Abs(s.T) }},
}

// footLevel is a level of base actions, in the words of a report.
type footLevel struct {
	name  string
	level analysis.Level
}

// footLevels are those that are listed: design and characteristic actions, and for a base
// that stands by its weight those of its equilibrium.
func (c *run) footLevels() []footLevel {
	out := []footLevel{{"design", analysis.Strength}, {"characteristic", analysis.Characteristic}}
	if c.d.Post.Base.Loose {
		out = append(out, footLevel{"equilibrium", analysis.Equilibrium})
	}
	return out
}

// baseActions fills the base actions of footPosts at every level.
func (c *run) baseActions() {
	levels := c.footLevels()
	var each []analysis.Level
	for _, l := range levels {
		each = append(each, l.level)
	}
	for _, post := range c.footPosts() {
		for l, found := range c.worstFoot(post, each...) {
			for i := range found {
				if p := &found[i]; math.Abs(p.Value) > nothing {
					state, k := c.footState(&p.Placed, footExtremes[i].of)
					state = p.raise.of(&state)
					fx, fy, fz, mx, my, mz := onFoot(&state)
					mx, my = k*mx, k*my
					c.out.BaseActions = append(c.out.BaseActions, BaseAction{
						Post: post + 1, Leg: c.legOf(c.d.Run.Posts[post]), ExtremeOf: footExtremes[i].name, Level: levels[l].name, Combination: c.wordsOf(p.Combination).factors, CombinationName: p.Combination.Name, Load: p.LoadIn(c.o.Units) + p.raise.words(),
						Fx: fx, Fy: fy, Fz: fz, Mx: mx, My: my, Mz: mz,
					})
				}
			}
		}
	}
}

// openOverturning lists what would turn over or lift a base that stands by its weight.
func (c *run) openOverturning() {
	if !c.d.Post.Base.Loose {
		return
	}
	each := make([][]held, len(c.d.Run.Posts))
	for post := range each {
		each[post] = c.worstFoot(post, analysis.Equilibrium)[0]
	}
	for _, e := range [...]struct {
		what, unit string
		extreme    int
	}{{"overturning moment", "Nm", footIndex("M")}, {"sliding force", "N", footIndex("V")}, {"uplift", "N", footIndex("Fz+")}} {
		top, most := -1, held{}
		for post := range each {
			if p := &each[post][e.extreme]; p.Value > nothing && (top < 0 || analysis.Beats(p.Value, most.Value)) {
				top, most = post, *p
			}
		}
		if top < 0 {
			continue
		}
		it := largest(OpenBase, "base that stands by its weight: "+e.what, postName(top))
		it.Reason, it.Demand, it.Unit, it.Load = "nothing says that its weight holds it: post.base.kind = \"counterweight\" describes that ("+most.Combination.String()+")", most.Value, e.unit, most.LoadIn(c.o.Units)+most.raise.words()
		c.openUnless(c.d.LeaveOut.Base, it)
	}
}

// footIndex returns the place of a measure among footExtremes.
func footIndex(name string) int {
	for i, e := range footExtremes {
		if e.name == name {
			return i
		}
	}
	panic("check: base actions have no extreme " + name)
}

// footQueries are the measures of the base actions at some levels, moments with second
// order.
func footQueries(t resistance, levels ...analysis.Level) []analysis.Query {
	queries := make([]analysis.Query, len(levels))
	for i := range queries {
		queries[i] = analysis.Query{Level: levels[i]}
		for _, e := range footExtremes {
			of := e.of
			if strings.HasPrefix(e.name, "M") && e.name != "Mz" {
				of = func(s *analysis.State) float64 { return e.of(s) * printedAmplification(t, s) }
			}
			size := func(s *analysis.State) float64 { s.N = -math.Abs(s.N); return math.Abs(of(s)) }
			if strings.HasPrefix(e.name, "F") {
				size = func(s *analysis.State) float64 { return math.Abs(s.N) }
			}
			queries[i].Measures = append(queries[i].Measures, analysis.Measure{Of: of, Bound: size})
		}
	}
	return queries
}

// worstFoot returns the largest values at a post's foot over the models that
// stand, at some levels.
func (c *run) worstFoot(post int, levels ...analysis.Level) [][]held {
	var best [][]held
	for _, model := range c.models {
		found := c.worstHeldBy(model, model.analysis.Post(post).Probes[0], 0, func(factor float64) []analysis.Query {
			return footQueries(underRaised(model.tubes.of(true, post), factor), levels...)
		})
		if best == nil {
			best = found
			continue
		}
		for q := range found {
			for i := range found[q] {
				if b := &best[q][i]; analysis.Beats(found[q][i].Value, b.Value) {
					*b = found[q][i]
				}
			}
		}
	}
	return best
}

// footPosts are the posts whose base actions are listed: the ends of the run and of its gaps,
// the corners, and those with the largest moment, uplift and thrust; of the braced ones the
// one with the largest axial force.
func (c *run) footPosts() []int {
	n := len(c.d.Run.Posts)
	if c.o.AllBaseActions {
		out := make([]int, n)
		for i := range out {
			out[i] = i
		}
		return out
	}
	out := []int{0, largestPost(c.worst.posts, baseMoment), n - 1}
	for post := range n {
		bay := c.d.Run.PostSupport(post) // the one after it
		if c.d.Run.IsCorner(post) || c.isGap(bay-1) || c.isGap(bay) {
			out = append(out, post)
		}
	}
	for _, t := range []*thrust{c.lifted, c.pressed} {
		if t != nil {
			out = append(out, t.post)
		}
	}
	if braced := c.bracedFoot(); braced >= 0 {
		out = append(out, braced)
	}
	slices.Sort(out)
	return slices.Compact(out)
}
