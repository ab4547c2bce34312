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

// baseActions fills the base actions of footPosts: design values and characteristic ones.
func (c *run) baseActions() {
	levels := [...]struct {
		name  string
		level analysis.Level
	}{{"design", analysis.Strength}, {"characteristic", analysis.Characteristic}}
	for _, post := range c.footPosts() {
		for l, found := range c.worstFoot(post, levels[0].level, levels[1].level) {
			for i := range found {
				if p := &found[i]; math.Abs(p.Value) > nothing {
					state, k := c.footState(p, footExtremes[i].of)
					fx, fy, fz, mx, my, mz := onFoot(&state)
					mx, my = k*mx, k*my
					c.out.BaseActions = append(c.out.BaseActions, BaseAction{
						Post: post + 1, Leg: c.legOf(c.d.Run.Posts[post]), ExtremeOf: footExtremes[i].name, Level: levels[l].name, Combination: p.Combination.String(), Load: p.Placement.In(c.o.Units),
						Fx: fx, Fy: fy, Fz: fz, Mx: mx, My: my, Mz: mz,
					})
				}
			}
		}
	}
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
func (c *run) worstFoot(post int, levels ...analysis.Level) [][]analysis.Placed {
	var best [][]analysis.Placed
	for _, model := range c.models {
		found := model.analysis.WorstAt(model.analysis.Post(post).Probes[0], []float64{0}, footQueries(model.tubes.post, levels...)...)
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
		if c.d.Run.IsCorner(post) || len(c.d.Run.Gaps) > 0 && (c.d.Run.IsGap(bay-1) || c.d.Run.IsGap(bay)) {
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
