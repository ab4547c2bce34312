package check

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// finding is one check of one element in one model, at its worst.
type finding struct {
	id      string // of a demand on a joint alone: its grip's
	element string // "post 4", "rail top bay 3", "fitting 4 top"
	member  int    // the post's or rail's index
	grip    grip   // of a fitting or splice
	judge   judge
	raw     judge  // of a movement: before second order
	limit   *limit // of a movement
	placed  analysis.Placed
	model   *model
}

// judge is a check: a state to a utilisation, its working noted.
type judge func(*analysis.State, *Recorder) float64

func (f *finding) utilisation() float64 { return f.placed.Value }

// worse reports whether g beats f by more than a tie.
func (f *finding) worse(g *finding) bool { return analysis.Beats(g.utilisation(), f.utilisation()) }

// model is one frame that was run, and what it found, in a fixed order.
type model struct {
	layout   barrier.Layout
	splicing int // index of its splice model
	analysis *analysis.Analysis
	tubes    *tubes
	movement bool // deflection is checked in it
	findings []finding
	moved    []finding // movements against their limits, also where they are not checked
	posts    []extremes
	rails    []extremes
	fittings []finding // demands, the judge gives the demand itself
	splices  []finding
	second   float64 // largest N/Ncr anywhere
}

// extremes are the largest values of one post or rail, each on its own.
type extremes struct {
	moment, shear, axial, torsion, base analysis.Placed
	top, across, along, vertical, span  analysis.Placed
	strength, deflection                float64 // largest utilisations, -1 for none
	pressed                             float64 // largest compression, N
	second                              float64 // the same over the critical force
	strengthAt                          analysis.Placed
}

// tubes are the resistances of the posts and of each rail.
type tubes struct {
	post  *Tube
	rails []*Tube
}

// newTubes returns the resistances, with the critical forces for the layout.
func newTubes(d *barrier.Definition, l *barrier.Layout) (*tubes, error) {
	post, err := NewTube(&d.Post.Member)
	if err != nil {
		return nil, inputProblem(d, "post.tube", err)
	}
	ei, foot := d.Post.Grade.E*d.Post.Ring.I, d.Post.Base.Level
	post.Critical = postCritical(ei, d.Post.Height-foot, l.FootStiffness)
	t := &tubes{post: post}
	for i := range d.Rails {
		r := &d.Rails[i]
		rail, err := NewTube(&r.Member)
		if err != nil {
			return nil, inputProblem(d, fmt.Sprintf("rail[%d].tube", i), err)
		}
		held := postStiffness(ei, r.Height-foot, l.FootStiffness)
		rail.Critical = railCritical(r.Grade.E*r.Ring.I, held, d.Run.Posts, l.Rails[i])
		t.rails = append(t.rails, rail)
	}
	return t, nil
}

// inputProblem makes a tube that a code does not cover a problem of the
// definition, at its line.
func inputProblem(d *barrier.Definition, path string, err error) error {
	return barrier.Problems{d.Problem(path, err.Error(), "choose a thicker wall or a smaller diameter")}
}

// measure makes a judge a measure. Its bound takes the axial force as
// compression, which never helps.
func measure(j judge) analysis.Measure {
	return analysis.Measure{
		Of:    func(s *analysis.State) float64 { return j(s, nil) },
		Bound: func(s *analysis.State) float64 { s.N = -math.Abs(s.N); return j(s, nil) },
	}
}

// size is a judge that gives a demand itself.
func size(f func(*analysis.State) float64) judge {
	return func(s *analysis.State, r *Recorder) float64 { return r.verdict(math.Abs(f(s)), 1, "", "") }
}

var (
	sizeMoment   = size((*analysis.State).Moment)
	sizeShear    = size((*analysis.State).Shear)
	sizeAxial    = size(func(s *analysis.State) float64 { return s.N })
	sizeTorsion  = size(func(s *analysis.State) float64 { return s.T })
	sizePressed  = judge(func(s *analysis.State, r *Recorder) float64 { return r.verdict(math.Max(0, -s.N), 1, "", "") })
	sizeAcross   = size(func(s *analysis.State) float64 { return s.Across })
	sizeAlong    = size(func(s *analysis.State) float64 { return s.Along })
	sizeVertical = size(func(s *analysis.State) float64 { return s.Vertical })
	sizeSpan     = size(func(s *analysis.State) float64 { return s.Span })
)

// named is a check with its id.
type named struct {
	id    string
	judge judge
	limit *limit // of a movement
}

func strengthChecks(kind string, t *Tube) []named {
	return []named{
		{id: kind + "-bending", judge: t.Bending}, {id: kind + "-shear", judge: t.Shear},
		{id: kind + "-torsion", judge: t.Torsion}, {id: kind + "-interaction", judge: t.Interaction},
	}
}

// run searches the model.
func (m *model) run(c *run) {
	d := c.d
	m.posts, m.rails = make([]extremes, len(d.Run.Posts)), make([]extremes, len(d.Rails))
	for i := range m.posts {
		m.post(c, m.tubes.post, i)
	}
	for i := range m.rails {
		m.rail(c, m.tubes.rails[i], i)
	}
	m.joints(c)
}

// query is the measures of checks, then those of sizes, at one level.
func query(l analysis.Level, checks []named, sizes ...judge) analysis.Query {
	q := analysis.Query{Level: l}
	for _, n := range checks {
		q.Measures = append(q.Measures, measure(n.judge))
	}
	for _, s := range sizes {
		q.Measures = append(q.Measures, measure(s))
	}
	return q
}

// add notes the strength findings of one element, and its largest utilisation.
func (m *model) add(x *extremes, member int, checks []named, placed []analysis.Placed, element func(*analysis.Placed) string) {
	for i, n := range checks {
		p := placed[i]
		m.findings = append(m.findings, finding{id: n.id, element: element(&p), member: member, judge: n.judge, placed: p, model: m})
		if (!isYield(n.id) || p.Value > 1) && analysis.Beats(p.Value, x.strength) {
			x.strength, x.strengthAt = p.Value, p
		}
	}
}

// amplified is a judge of movements that second order makes k times as large.
func amplified(j judge, k float64) judge {
	if k == 1 {
		return j
	}
	return func(s *analysis.State, r *Recorder) float64 {
		t := *s
		t.Across, t.Span, t.Vertical = k*t.Across, k*t.Span, k*t.Vertical
		r.step("k", k, "1", "1 / (1 - NEd/Ncr), second order", "EN 1993-1-1 5.2.2(5)")
		return j(&t, r)
	}
}

// press notes the largest compression of an element, and how much of the critical
// force it is.
func (m *model) press(x *extremes, t *Tube, compression *analysis.Placed) {
	x.pressed = compression.Value
	x.second = x.pressed / t.Critical
	m.second = math.Max(m.second, x.second)
}

// amplify returns the factor of second order on an element's movements, no more
// than amplifyTo: above it nothing is judged.
func (x *extremes) amplify() float64 { return math.Min(amplificationAt(x.second), amplifyTo) }

// addMoved notes the movements of one element against their limits, second order
// included; checkMovement makes them findings.
func (m *model) addMoved(x *extremes, member int, checks []named, placed []analysis.Placed, element func(*analysis.Placed) string) {
	for i, n := range checks {
		p := placed[i]
		p.Value *= x.amplify()
		raw := n.judge
		n.judge = amplified(raw, x.amplify())
		m.moved = append(m.moved, finding{id: n.id, element: element(&p), member: member, judge: n.judge, raw: raw, limit: n.limit, placed: p, model: m})
		x.deflection = math.Max(x.deflection, p.Value)
	}
}

// checkMovement counts the movements among the findings.
func (m *model) checkMovement() {
	m.movement = true
	m.findings = append(m.findings, m.moved...)
}

// post searches one post.
func (m *model) post(c *run, t *Tube, i int) {
	x := &m.posts[i]
	x.strength, x.deflection = -1, -1
	e := m.analysis.Post(i)
	name := func(*analysis.Placed) string { return postName(i) }
	strength, yield, limits := strengthChecks("post", t), []named{{id: "post-yield", judge: t.Yield}}, c.limits.forPost()
	found := m.analysis.WorstOf(e,
		query(analysis.Strength, strength, sizePressed), query(analysis.FirstYield, yield), query(analysis.Service, limits, sizeAcross))
	foot := m.analysis.WorstAt(e.Probes[0], []float64{0}, query(analysis.Strength, nil, t.amplifiedMoment, sizeShear, sizeAxial))[0]
	last := e.Probes[len(e.Probes)-1]
	top := m.analysis.WorstAt(last, []float64{last.Length}, query(analysis.Service, nil, sizeAcross, sizeAlong, sizeVertical))[0]
	x.base, x.shear, x.axial = foot[0], foot[1], foot[2]
	x.top, x.along, x.vertical = top[0], top[1], top[2]
	x.across = found[2][len(limits)]
	m.press(x, t, &found[0][len(strength)])
	m.add(x, i, strength, found[0], name)
	m.add(x, i, yield, found[1], name)
	m.addMoved(x, i, limits, found[2], name)
}

// rail searches one rail.
func (m *model) rail(c *run, t *Tube, i int) {
	x := &m.rails[i]
	x.strength, x.deflection = -1, -1
	e := m.analysis.Rail(i)
	name := func(p *analysis.Placed) string { return railName(c.d.Rails[i].Name, p.Probe.Bay) }
	strength, yield, limits := strengthChecks("rail", t), []named{{id: "rail-yield", judge: t.Yield}}, c.limits.forRail()
	found := m.analysis.WorstOf(e,
		query(analysis.Strength, strength, t.amplifiedMoment, sizeShear, sizeTorsion, sizeAxial, sizePressed), query(analysis.FirstYield, yield),
		query(analysis.Service, limits, sizeAcross, sizeAlong, sizeVertical, sizeSpan))
	sized, moved := found[0][len(strength):], found[2][len(limits):]
	x.moment, x.shear, x.torsion, x.axial = sized[0], sized[1], sized[2], sized[3]
	x.across, x.along, x.vertical, x.span = moved[0], moved[1], moved[2], moved[3]
	m.press(x, t, &sized[4])
	m.add(x, i, strength, found[0], name)
	m.add(x, i, yield, found[1], name)
	m.addMoved(x, i, limits, found[2], name)
}

// largest returns the largest utilisation of the model that may govern, -1 for
// none.
func (m *model) largest() float64 {
	u := -1.0
	for i := range m.findings {
		if f := &m.findings[i]; !isYield(f.id) || f.utilisation() > 1 {
			u = math.Max(u, f.utilisation())
		}
	}
	return u
}

// largestPost returns the index of the post with the largest value of one kind,
// the first of those that tie.
func largestPost(posts []extremes, of func(*extremes) *analysis.Placed) int {
	top := 0
	for i := range posts {
		if analysis.Beats(of(&posts[i]).Value, of(&posts[top]).Value) {
			top = i
		}
	}
	return top
}

func baseMoment(x *extremes) *analysis.Placed { return &x.base }
func baseShear(x *extremes) *analysis.Placed  { return &x.shear }
func baseAxial(x *extremes) *analysis.Placed  { return &x.axial }
