package check

import (
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// finding is one check of one element in one model, at its worst.
type finding struct {
	id      string
	element string // "post 4", "rail top bay 3", "fitting 4 top"
	member  int    // the post's or rail's index
	judge   judge
	placed  analysis.Placed
	model   *model
}

// judge is a check: a state to a utilisation, its working noted.
type judge func(*analysis.State, *Recorder) float64

func (f *finding) utilisation() float64 { return f.placed.Value }

// worse reports whether g beats f by more than a tie.
func (f *finding) worse(g *finding) bool {
	return g.utilisation() > f.utilisation()+1e-9*math.Abs(f.utilisation())
}

// model is one frame that was run, and what it found, in a fixed order.
type model struct {
	layout   barrier.Layout
	analysis *analysis.Analysis
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
	strengthAt                          analysis.Placed
}

// tubes are the resistances of the posts and of each rail.
type tubes struct {
	post  *Tube
	rails []*Tube
}

// newTubes returns the resistances, with the critical forces for the layout.
func newTubes(d *barrier.Definition, foot float64) (*tubes, error) {
	post, err := NewTube(&d.Post.Member)
	if err != nil {
		return nil, err
	}
	bay := 0.0
	for i := range len(d.Run.Posts) - 1 {
		bay = math.Max(bay, d.Run.Posts[i+1]-d.Run.Posts[i])
	}
	post.Critical = postCritical(d.Post.Grade.E*d.Post.Ring.I, d.Post.Height-d.Post.Base.Level, foot)
	t := &tubes{post: post}
	for i := range d.Rails {
		rail, err := NewTube(&d.Rails[i].Member)
		if err != nil {
			return nil, err
		}
		rail.Critical = railCritical(d.Rails[i].Grade.E*d.Rails[i].Ring.I, bay)
		t.rails = append(t.rails, rail)
	}
	return t, nil
}

func measure(j judge) analysis.Measure {
	return analysis.Measure{Of: func(s *analysis.State) float64 { return j(s, nil) }}
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
	sizeAcross   = size(func(s *analysis.State) float64 { return s.Across })
	sizeAlong    = size(func(s *analysis.State) float64 { return s.Along })
	sizeVertical = size(func(s *analysis.State) float64 { return s.Vertical })
	sizeSpan     = size(func(s *analysis.State) float64 { return s.Span })
)

// named is a check with its id.
type named struct {
	id    string
	judge judge
}

func strengthChecks(kind string, t *Tube) []named {
	return []named{
		{kind + "-bending", t.Bending}, {kind + "-shear", t.Shear},
		{kind + "-torsion", t.Torsion}, {kind + "-interaction", t.Interaction},
	}
}

// run searches the model.
func (m *model) run(c *run, t *tubes) {
	d := c.d
	m.posts, m.rails = make([]extremes, len(d.Run.Posts)), make([]extremes, len(d.Rails))
	for i := range m.posts {
		m.post(c, t.post, i)
	}
	for i := range m.rails {
		m.rail(c, t.rails[i], i)
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
		if (!isYield(n.id) || p.Value > 1) && (x.strength < 0 || p.Value > x.strength*(1+1e-9)) {
			x.strength, x.strengthAt = p.Value, p
		}
	}
}

// addMoved notes the movements of one element against their limits: findings
// where movement is checked in this model.
func (m *model) addMoved(x *extremes, member int, checks []named, placed []analysis.Placed, element func(*analysis.Placed) string) {
	for i, n := range checks {
		p := placed[i]
		m.moved = append(m.moved, finding{id: n.id, element: element(&p), member: member, judge: n.judge, placed: p, model: m})
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
	strength, yield, limits := strengthChecks("post", t), []named{{"post-yield", t.Yield}}, c.limits.forPost()
	found := m.analysis.WorstOf(e,
		query(analysis.Strength, strength, sizeAxial), query(analysis.FirstYield, yield), query(analysis.Service, limits, sizeAcross))
	foot := m.analysis.WorstAt(e.Probes[0], []float64{0}, query(analysis.Strength, nil, sizeMoment, sizeShear, sizeAxial))[0]
	last := e.Probes[len(e.Probes)-1]
	top := m.analysis.WorstAt(last, []float64{last.Length}, query(analysis.Service, nil, sizeAcross, sizeAlong, sizeVertical))[0]
	x.base, x.shear, x.axial = foot[0], foot[1], foot[2]
	x.top, x.along, x.vertical = top[0], top[1], top[2]
	x.across = found[2][len(limits)]
	m.second = math.Max(m.second, found[0][len(strength)].Value/t.Critical)
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
	strength, yield, limits := strengthChecks("rail", t), []named{{"rail-yield", t.Yield}}, c.limits.forRail()
	found := m.analysis.WorstOf(e,
		query(analysis.Strength, strength, sizeMoment, sizeShear, sizeTorsion, sizeAxial), query(analysis.FirstYield, yield),
		query(analysis.Service, limits, sizeAcross, sizeAlong, sizeVertical, sizeSpan))
	sized, moved := found[0][len(strength):], found[2][len(limits):]
	x.moment, x.shear, x.torsion, x.axial = sized[0], sized[1], sized[2], sized[3]
	x.across, x.along, x.vertical, x.span = moved[0], moved[1], moved[2], moved[3]
	m.second = math.Max(m.second, x.axial.Value/t.Critical)
	m.add(x, i, strength, found[0], name)
	m.add(x, i, yield, found[1], name)
	m.addMoved(x, i, limits, found[2], name)
}

// largest returns the largest utilisation of the model, -1 for none.
func (m *model) largest() float64 {
	u := -1.0
	for i := range m.findings {
		u = math.Max(u, m.findings[i].utilisation())
	}
	return u
}
