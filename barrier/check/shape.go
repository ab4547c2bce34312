package check

import (
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
)

// Shape is the barrier as it stands, for drawings: places along the run are x along the rails, m,
// heights z above the walking surface, m, plumb. Plan has two coordinates of LegRow: along the
// first leg and to its left, m; Rise is how high the walking surface is there.
type Shape struct {
	Hazard string       `json:"hazard"` // left, right: the side that outward points to, walking from start to end
	Joint  string       `json:"joint"`  // of the fittings of the first frame that stands, in words
	Corner string       `json:"corner,omitempty"`
	Course []ShapeSpot  `json:"course"` // where the rails begin, each corner, where they end: straight between
	Bays   []ShapeBay   `json:"bays"`
	Posts  []ShapePost  `json:"posts"`
	Rails  []ShapeRail  `json:"rails"`
	Braces []ShapeLine  `json:"braces,omitempty"`
	Walls  []ShapeSpot  `json:"walls,omitempty"`  // where rails end in a wall
	LoadOf CheckRef     `json:"load_of"`          // the check whose load is drawn: what governs, or the largest of the barrier itself where a test piece governs
	Load   *ShapeLoad   `json:"load,omitempty"`   // of the governing check
	Beside []ShapeLoad  `json:"beside,omitempty"` // what acts with it
	Under  []ShapeUnder `json:"under"`            // what the diagrams of moments and of movements are under
	Base   *ShapeBase   `json:"base"`
}

// ShapeSpot is a place of the walking surface.
type ShapeSpot struct {
	X     float64    `json:"x_m"`
	Level float64    `json:"level_m"` // along the run in plan, through its corners
	Plan  [2]float64 `json:"plan_m"`
	Rise  float64    `json:"rise_m"`
}

// ShapeBay is a bay between two supports, or an overhang.
type ShapeBay struct {
	Bay  int     `json:"bay"` // from 1; 0 and one more than the bays for an overhang
	From float64 `json:"from_x_m"`
	To   float64 `json:"to_x_m"`
	Gap  string  `json:"gap,omitempty"` // gap, gate
}

// ShapePost is one post.
type ShapePost struct {
	Post int `json:"post"`
	ShapeSpot
	Foot float64 `json:"foot_m"` // z
	Top  float64 `json:"top_m"`  // z
	OD   float64 `json:"od_mm"`
	Base string  `json:"base"` // in words: rigid, 150 kNm/rad, 60 to 200 kNm/rad, not given
}

// ShapeRail is one rail.
type ShapeRail struct {
	Rail    string       `json:"rail"`
	Height  float64      `json:"height_m"`
	OD      float64      `json:"od_mm"`
	Pieces  [][2]float64 `json:"pieces_m"` // x of the ends of each piece between splices, corners and gaps
	Splices []float64    `json:"splices_m"`
}

// ShapeLine is a brace from its foot to its post, two places of LegRow, m.
type ShapeLine struct {
	Post    int        `json:"post"`
	Along   float64    `json:"along_m"`   // from the post to the foot, in the axes of the leg that ends there
	Outward float64    `json:"outward_m"` // likewise
	From    [3]float64 `json:"from_m"`
	To      [3]float64 `json:"to_m"`
}

// ShapeLoad is a load where it stands.
type ShapeLoad struct {
	Words   string         `json:"words"`
	Size    string         `json:"size"`            // its value with its unit, unfactored; empty for what stands everywhere
	Toward  string         `json:"toward"`          // outward, inward, up, down, along the run, or several; empty for what stands everywhere
	Rail    string         `json:"rail"`            // empty: on what Words says
	Posts   []ShapeUpright `json:"posts,omitempty"` // on which it stands instead
	Spans   [][2]float64   `json:"spans_m"`         // x: of a point load one of no length
	Height  float64        `json:"height_m"`        // z
	Along   float64        `json:"along"`           // its direction: unit vector along the leg, outward, up
	Outward float64        `json:"outward"`
	Up      float64        `json:"up"`
}

// ShapeUnder are the loads that diagrams are under, by Diagram.Under.
type ShapeUnder struct {
	Under string      `json:"under"`
	Loads []ShapeLoad `json:"loads"`
}

// ShapeUpright is a length of a post, z in m; of a point load one of no length.
type ShapeUpright struct {
	Post int     `json:"post"`
	From float64 `json:"from_m"`
	To   float64 `json:"to_m"`
}

// shape fills the barrier as it stands and the load of the governing check.
func (c *run) shape() {
	run := &c.d.Run
	s := &Shape{Hazard: string(run.Hazard), Joint: jointWords(c.models[0].layout.Joint, c.o.Units)}
	if len(run.Legs) > 1 {
		s.Corner = jointWords(orFree(c.models[0].layout.Corner), c.o.Units)
	}
	from, to := run.RailEnds()
	s.Course = append(s.Course, c.spot(from))
	for _, leg := range run.Legs[:max(0, len(run.Legs)-1)] {
		s.Course = append(s.Course, c.spot(leg.To))
	}
	s.Course = append(s.Course, c.spot(to))
	s.Bays = c.shapeBays()
	base := c.footWords()
	for i, x := range run.Posts {
		s.Posts = append(s.Posts, ShapePost{Post: i + 1, ShapeSpot: c.spot(x), Foot: c.d.Post.Base.Level, Top: c.postTop(), OD: c.d.Post.Ring.OD * 1e3, Base: base})
	}
	for i := range c.d.Rails {
		s.Rails = append(s.Rails, c.shapeRail(i))
	}
	for i := range c.d.Braces {
		s.Braces = append(s.Braces, c.shapeBrace(&c.d.Braces[i]))
	}
	for _, end := range [...]barrier.End{run.Start, run.End} {
		if end.Wall {
			s.Walls = append(s.Walls, c.spot(end.X))
		}
	}
	if f := c.governing(c.out.Governing.Overall); f != nil {
		s.LoadOf = f.ref()
		if loads := c.shapeLoads(&f.placed); len(loads) > 0 {
			s.Load, s.Beside = &loads[0], loads[1:]
		}
	}
	s.Base = c.shapeBase()
	for _, of := range []struct {
		under string
		ref   CheckRef
	}{{UnderStrength, c.out.Governing.Strength}, {UnderDeflection, c.out.Governing.Deflection}} {
		if f := c.governing(of.ref); f != nil {
			s.Under = append(s.Under, ShapeUnder{Under: of.under, Loads: c.shapeLoads(&f.placed)})
		}
	}
	c.out.Shape = s
}

// spot is the place of the walking surface at x.
func (c *run) spot(x float64) ShapeSpot {
	run := &c.d.Run
	at := run.At(run.LegOf(x), x, 0, 0)
	return ShapeSpot{X: x, Level: c.levelAt(x), Plan: [2]float64{at[0], at[1]}, Rise: at[2]}
}

// levelAt is how far along the run in plan x is, m; 0 where x is.
func (c *run) levelAt(x float64) float64 {
	run := &c.d.Run
	if run.IsStraight() {
		return x
	}
	level := run.Legs[0].From
	for i := range run.LegOf(x) {
		level += (run.Legs[i].To - run.Legs[i].From) * math.Cos(run.Legs[i].Pitch)
	}
	leg := run.Legs[run.LegOf(x)]
	return level + (x-leg.From)*math.Cos(leg.Pitch)
}

// postTop is z of the top of the posts, or of the highest rail where that is higher.
func (c *run) postTop() float64 {
	top := c.d.Post.Height
	for i := range c.d.Rails {
		top = math.Max(top, c.d.Rails[i].Height)
	}
	return top
}

// footWords tells the stiffness of the feet.
func (c *run) footWords() string {
	k := c.d.Post.Base.Stiffness
	word := func(k float64) string {
		if math.IsInf(k, 1) {
			return "rigid"
		}
		return quantity.Format(k, quantity.RotationalStiffness, c.o.Units)
	}
	switch len(k) {
	case 0:
		return "not given"
	case 1:
		return word(k[0])
	}
	return word(k[0]) + " to " + word(k[1])
}

// shapeBays are the bays, overhangs among them.
func (c *run) shapeBays() (bays []ShapeBay) {
	run := &c.d.Run
	from, to := run.RailEnds()
	last := len(c.supports) - 1
	if from < c.supports[0] {
		bays = append(bays, ShapeBay{Bay: 0, From: from, To: c.supports[0]})
	}
	for i := range last {
		bay := ShapeBay{Bay: i + 1, From: c.supports[i], To: c.supports[i+1]}
		if run.IsGap(i) {
			bay.Gap = "gap"
			if slices.ContainsFunc(run.Gaps, func(g barrier.Gap) bool { return g.From == bay.From && g.Gate }) {
				bay.Gap = "gate"
			}
		}
		bays = append(bays, bay)
	}
	if to > c.supports[last] {
		bays = append(bays, ShapeBay{Bay: last + 1, From: c.supports[last], To: to})
	}
	return bays
}

// shapeRail is one rail with its pieces, as the first frame that stands has them.
func (c *run) shapeRail(i int) ShapeRail {
	r := &c.d.Rails[i]
	out := ShapeRail{Rail: r.Name, Height: r.Height, OD: r.Ring.OD * 1e3}
	joints := c.models[0].layout.Rails[i]
	cuts := slices.Clone(joints.Splices)
	for _, s := range c.d.Run.Stretches() {
		from := s.From
		for _, x := range cuts {
			if x > s.From && x < s.To {
				out.Splices = append(out.Splices, x)
			}
		}
		at := append([]float64(nil), cuts...)
		if joints.Cut {
			for k := s.First + 1; k < s.Last; k++ {
				at = append(at, c.supports[k])
			}
			slices.Sort(at)
		}
		for _, x := range at {
			if x > from && x < s.To {
				out.Pieces = append(out.Pieces, [2]float64{from, x})
				from = x
			}
		}
		out.Pieces = append(out.Pieces, [2]float64{from, s.To})
	}
	return out
}

// shapeBrace is one brace from its foot to its post.
func (c *run) shapeBrace(b *barrier.Brace) ShapeLine {
	run := &c.d.Run
	x := run.Posts[b.Post]
	leg := run.LegOf(x)
	axes := run.Axes(leg)
	to := run.At(leg, x, 0, b.Height)
	from := run.At(leg, x, 0, b.Level)
	for k := range from {
		from[k] += b.Along*axes[0][k] + run.Hazard.Outward()*b.Outward*axes[1][k]
	}
	return ShapeLine{Post: b.Post + 1, Along: b.Along, Outward: b.Outward, From: [3]float64(from), To: [3]float64(to)}
}

// shapeLoads are a placed load and those beside it; none for permanent actions alone.
func (c *run) shapeLoads(p *analysis.Placed) (loads []ShapeLoad) {
	if p.Placement.Action == nil {
		return nil
	}
	loads = append(loads, *c.shapeLoad(&p.Placement))
	for i := range p.Beside {
		loads = append(loads, *c.shapeLoad(&p.Beside[i]))
	}
	return loads
}

// shapeLoad is a load where it stands.
func (c *run) shapeLoad(p *analysis.Placement) *ShapeLoad {
	a := p.Action
	s := &ShapeLoad{Words: p.In(c.o.Units)}
	if a.Field != nil {
		return s
	}
	force := p.Force()
	size := math.Sqrt(force[0]*force[0] + force[1]*force[1] + force[2]*force[2])
	if size > 0 {
		s.Along, s.Outward, s.Up = force[0]/size, c.d.Run.Hazard.Outward()*force[1]/size, force[2]/size
	}
	s.Size, s.Toward = p.Size(c.o.Units), p.Toward()
	if a.Posts {
		for _, u := range p.UpPosts() {
			s.Posts = append(s.Posts, ShapeUpright{Post: u.Post + 1, From: u.From, To: u.To})
		}
		return s
	}
	for _, share := range a.Rails {
		s.Height += share.Share * c.d.Rails[share.Rail].Height
	}
	if len(a.Rails) == 1 {
		s.Rail, s.Height = c.d.Rails[a.Rails[0].Rail].Name, c.d.Rails[a.Rails[0].Rail].Height+a.Lift
	} else if total := shares(a.Rails); total > 0 {
		s.Height /= total
	}
	if a.Point {
		s.Spans = [][2]float64{{p.X, p.X}}
		return s
	}
	from, to := c.d.Run.RailEnds()
	if p.Whole {
		s.Spans = [][2]float64{{from, to}}
		return s
	}
	for _, l := range p.Lengths {
		s.Spans = append(s.Spans, [2]float64{l.From, l.To})
	}
	return s
}

func shares(of []analysis.Share) (sum float64) {
	for _, s := range of {
		sum += s.Share
	}
	return sum
}
