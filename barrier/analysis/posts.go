package analysis

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/solver"
)

// An action on posts travels a chain on which every post has a length of its own, its foot
// at a whole number of pitches: a place along the chain tells the post and the height. A post
// at a corner has two such lengths, one for each leg, in whose axes the load points there.

// upright is a post, or one leg's side of it, along the chain of an action on posts.
type upright struct {
	post, leg int
	from, to  float64 // z between which the action may stand, m
	share     float64 // of the load: 1, or of an area load metres of width
	start     float64 // of its foot along the chain, m
}

// onPosts puts the action on the posts between two heights z, m. The share of a post, in the
// direction of a leg, is that given, nil for the whole of the load; a post with none is left out.
func (a *Action) onPosts(d *barrier.Definition, from, to float64, share func(post, leg int) float64) {
	a.Posts, a.Where = true, "on the posts"
	highest := math.Max(d.Post.Height, d.Rails[d.Highest()].Height)
	pitch := math.Ceil(highest-d.Post.Base.Level) + 1
	for post, x := range d.Run.Posts {
		first := d.Run.LegOf(x)
		last := first
		if d.Run.TurnsAt(post) {
			last++
		}
		for leg := first; leg <= last; leg++ {
			u := upright{post: post, leg: leg, from: from, to: to, share: 1, start: pitch * float64(len(a.uprights))}
			if share != nil {
				u.share = share(post, leg)
			}
			if u.share != 0 {
				a.uprights = append(a.uprights, u)
			}
		}
	}
}

// rows returns the rows of the action's chain on a frame.
func (a *Action) rows(f *barrier.Frame) (rows []solver.Row) {
	for _, s := range a.Rails {
		rows = append(rows, f.Rows(s.Rail, s.Share)...)
	}
	if a.inBays {
		for i := range rows {
			rows[i].Within = solver.Length{From: a.supports[0], To: a.supports[len(a.supports)-1]}
		}
	}
	for _, u := range a.uprights {
		rows = append(rows, f.PostRow(u.post, u.leg, u.start, u.share, u.from, u.to))
	}
	return rows
}

// uprightAt returns the upright at a place along the chain, from 0: the last that begins before it.
func (a *Action) uprightAt(x float64) int {
	beyond := sort.Search(len(a.uprights), func(i int) bool { u := &a.uprights[i]; return u.start+u.from-a.foot > x+1e-9 })
	return max(beyond-1, 0)
}

// OnPost returns the post, from 0, and the height z, m, at which a point load on a post
// stands; not ok for any other load.
func (p *Placement) OnPost() (post int, z float64, ok bool) {
	if p.Action == nil || !p.Action.Posts || !p.Action.Point {
		return 0, 0, false
	}
	u := &p.Action.uprights[p.Action.uprightAt(p.X)]
	return u.post, p.X - u.start + p.Action.foot, true
}

// legsOn returns the leg in which each stretch of the action's chain lies.
func (a *Action) legsOn(chain *solver.Chain) []int {
	if !a.Posts {
		return legsOf(a.run, chain)
	}
	legs := make([]int, chain.Stretches())
	for i := range legs {
		from, to := chain.Ends(i)
		legs[i] = a.uprights[a.uprightAt((from+to)/2)].leg
	}
	return legs
}

// name says which post an upright is, and of which leg where a corner has two.
func (a *Action) nameOf(i int) string {
	u := &a.uprights[i]
	beside := func(j int) bool { return j >= 0 && j < len(a.uprights) && a.uprights[j].post == u.post }
	if beside(i-1) || beside(i+1) {
		return fmt.Sprintf("%d (leg %d)", u.post+1, u.leg+1)
	}
	return fmt.Sprint(u.post + 1)
}

// onUpright says where a point load on a post stands: "on post 3 at z = 0.550 m".
func (p *Placement) onUpright(units quantity.System) string {
	i := p.Action.uprightAt(p.X)
	_, z, _ := p.OnPost()
	return fmt.Sprintf("on post %s at z = %s", p.Action.nameOf(i), quantity.Place(z).In(units))
}

// upUprights says over which heights of which posts a line load stands: posts side by side
// that carry it over the same heights are told together.
func (p *Placement) upUprights(units quantity.System) string {
	type group struct{ first, last, words string }
	var groups []group
	before := -2
	for _, l := range p.printed() {
		i := p.Action.uprightAt((l.From + l.To) / 2)
		u := &p.Action.uprights[i]
		name := p.Action.nameOf(i)
		words := fmt.Sprintf("from z = %s to %s", quantity.Place(l.From-u.start+p.Action.foot).In(units), quantity.Place(l.To-u.start+p.Action.foot).In(units))
		if n := len(groups); n > 0 && i == before+1 && groups[n-1].words == words {
			groups[n-1].last = name
		} else {
			groups = append(groups, group{name, name, words})
		}
		before = i
	}
	var parts []string
	for _, g := range groups {
		who := "post " + g.first
		if g.last != g.first {
			who = "posts " + g.first + " to " + g.last
		}
		parts = append(parts, who+" "+g.words)
	}
	return "on " + strings.Join(parts, ", ")
}
