package analysis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// plan is a barrier as a test lays it out; toml writes it as a definition.
type plan struct {
	posts []float64 // x, m
	top   float64   // height of the posts, m; 0: that of the highest rail
	level float64   // z of the feet, m
	foot  float64   // N·m/rad, +Inf for rigid
	tube  string    // of the posts; default "EN 10255 DN40 medium"
	rails []railPlan
	loads []string // the lines of each [[load]]

	change func(*barrier.Definition) // what the file cannot say here; nil: nothing
}

type railPlan struct {
	name    string
	height  float64 // m
	tube    string  // default "EN 10255 DN40 medium"
	splices []float64
	cut     bool
}

const medium = "EN 10255 DN40 medium"

// evenly returns n posts at a spacing from x = 0.
func evenly(n int, spacing float64) []float64 {
	posts := make([]float64, n)
	for i := range posts {
		posts[i] = spacing * float64(i)
	}
	return posts
}

// oneRail is a barrier of one through rail at the given height.
func oneRail(posts []float64, height, foot float64, loads ...string) plan {
	return plan{posts: posts, foot: foot, rails: []railPlan{{name: "top", height: height}}, loads: loads}
}

func quoted(values []float64) string {
	var words []string
	for _, v := range values {
		words = append(words, fmt.Sprintf("%q", fmt.Sprintf("%.6f m", v)))
	}
	return "[" + strings.Join(words, ", ") + "]"
}

func tubeOf(name string) string {
	grade := "S235JRH"
	if name == "" {
		name = medium
	}
	if strings.HasPrefix(name, "EN 10255") {
		grade = "S195T"
	}
	return fmt.Sprintf("tube = %q\ngrade = %q\n", name, grade)
}

func (p *plan) toml() string {
	var b strings.Builder
	fmt.Fprintf(&b, "basis = \"EN\"\n[run]\nposts = %s\ntoe_plate = \"none\"\n", quoted(p.posts))
	top := p.top
	for _, r := range p.rails {
		top = math.Max(top, r.height)
	}
	fmt.Fprintf(&b, "[post]\nheight = \"%.6f m\"\n%s", top, tubeOf(p.tube))
	foot := "rigid"
	if !math.IsInf(p.foot, 1) {
		foot = fmt.Sprintf("%.6f kNm/rad", p.foot/1e3)
	}
	fmt.Fprintf(&b, "[post.base]\nstiffness = %q\nlevel = \"%.6f m\"\n", foot, p.level)
	for _, r := range p.rails {
		fmt.Fprintf(&b, "[[rail]]\nname = %q\nheight = \"%.6f m\"\n%sstock = \"1000 m\"\n", r.name, r.height, tubeOf(r.tube))
		switch {
		case r.cut:
			b.WriteString("through = false\n")
		case r.splices == nil:
			b.WriteString("splices = \"none\"\n")
		default:
			fmt.Fprintf(&b, "splices = %s\n", quoted(r.splices))
		}
	}
	b.WriteString("[fitting]\nmoment = \"free\"\n")
	for _, l := range p.loads {
		fmt.Fprintf(&b, "[[load]]\n%s\n", l)
	}
	b.WriteString("[limits]\ndeflection = \"25 mm\"\n")
	return b.String()
}

// definition parses the plan.
func (p *plan) definition(t testing.TB) *barrier.Definition {
	t.Helper()
	d, err := barrier.Parse("plan.toml", []byte(p.toml()))
	if err != nil {
		t.Fatalf("%v\n%s", err, p.toml())
	}
	if p.change != nil {
		p.change(d)
	}
	return d
}

// layout reads the definition as it is given: the softest foot, the splices as
// listed.
func layout(d *barrier.Definition) barrier.Layout {
	l := barrier.Layout{FootStiffness: d.Post.Base.Stiffness[0], Splices: "as given", Joint: d.Fitting.Moment}
	for i := range d.Rails {
		l.Rails = append(l.Rails, barrier.Joints{Splices: d.Rails[i].Splices, Cut: !d.Rails[i].Through})
	}
	return l
}

// ready returns the analysis of a definition as it is given.
func ready(t testing.TB, d *barrier.Definition) *analysis.Analysis {
	t.Helper()
	actions, _ := analysis.Actions(d)
	a, err := analysis.New(d, layout(d), actions)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// stiffen multiplies E of a member, and with it EI, EA and (through G) GJ; the
// weight stays.
func stiffen(m *barrier.Member, factor float64) {
	m.Grade.E *= factor
	m.Grade.G *= factor
}

// ei returns the bending stiffness of a member, N·m².
func ei(m *barrier.Member) float64 { return m.Grade.E * m.Ring.I }

// own returns the lines of an own load.
func own(kind, value, rail, direction string) string {
	if !strings.HasPrefix(direction, "{") {
		direction = fmt.Sprintf("%q", direction)
	}
	return fmt.Sprintf("kind = %q\nvalue = %q\nrail = %q\ndirection = %s", kind, value, rail, direction)
}

// The measures that the tests search with.

func measure(f func(*analysis.State) float64) analysis.Measure { return analysis.Measure{Of: f} }

func moment(s *analysis.State) float64   { return s.Moment() }
func shear(s *analysis.State) float64    { return s.Shear() }
func axial(s *analysis.State) float64    { return math.Abs(s.N) }
func torsion(s *analysis.State) float64  { return math.Abs(s.T) }
func across(s *analysis.State) float64   { return math.Abs(s.Across) }
func along(s *analysis.State) float64    { return math.Abs(s.Along) }
func vertical(s *analysis.State) float64 { return math.Abs(s.Vertical) }
func span(s *analysis.State) float64     { return math.Abs(s.Span) }

// interaction is bending and axial force together in the form of a tube's
// plastic interaction; the divisors are such that both terms count.
func interaction(s *analysis.State) float64 {
	return s.Moment()/1000 + math.Pow(math.Abs(s.N)/4000, 1.7)
}

// equivalent is a von Mises like stress of a tube: axial force with bending, and
// shear with torsion.
func equivalent(s *analysis.State) float64 {
	direct := math.Abs(s.N)/450e-6 + s.Moment()/4.8e-6
	tangent := s.Shear()/225e-6 + math.Abs(s.T)/9.6e-6
	return math.Sqrt(direct*direct + 3*tangent*tangent)
}

// named is a measure with its name in failures.
type named struct {
	name  string
	level analysis.Level
	of    func(*analysis.State) float64
}

// strengthAndMovement are the measures of the brute-force tests.
func strengthAndMovement() []named {
	return []named{
		{"moment", analysis.Strength, moment}, {"shear", analysis.Strength, shear}, {"axial", analysis.Strength, axial},
		{"torsion", analysis.Strength, torsion},
		{"interaction", analysis.Strength, interaction}, {"equivalent", analysis.Strength, equivalent},
		{"yield", analysis.FirstYield, interaction}, {"characteristic", analysis.Characteristic, moment},
		{"across", analysis.Service, across}, {"along", analysis.Service, along}, {"vertical", analysis.Service, vertical},
		{"span", analysis.Service, span},
	}
}

// fewMeasures are those of them that differ in kind.
func fewMeasures() []named {
	return []named{
		{"moment", analysis.Strength, moment}, {"interaction", analysis.Strength, interaction},
		{"equivalent", analysis.FirstYield, equivalent}, {"across", analysis.Service, across}, {"span", analysis.Service, span},
	}
}

// between returns a number from a to b, whole micrometres, so that a definition
// written with six digits reads the same.
func between(r *rand.Rand, a, b float64) float64 {
	return math.Round((a+(b-a)*r.Float64())*1e6) / 1e6
}

// randomPlan lays out a barrier: uneven bays, one to three rails, spliced, cut or
// in one piece, feet soft to rigid, at or below the walking surface.
func randomPlan(r *rand.Rand, loads ...string) plan {
	p := plan{posts: []float64{0}, foot: math.Inf(1), loads: loads}
	for range 2 + r.IntN(3) {
		p.posts = append(p.posts, p.posts[len(p.posts)-1]+between(r, 0.6, 2.2))
	}
	if r.IntN(4) > 0 {
		p.foot = between(r, 15e3, 300e3)
	}
	if r.IntN(2) == 0 {
		p.level = -between(r, 0.05, 0.2)
	}
	heights := []float64{between(r, 1.0, 1.2), between(r, 0.5, 0.7), between(r, 0.2, 0.3)}
	for i, h := range heights[:1+r.IntN(3)] {
		rail := railPlan{name: []string{"top", "knee", "low"}[i], height: h, cut: r.IntN(4) == 0}
		if !rail.cut && r.IntN(2) == 0 {
			rail.splices = randomSplices(r, p.posts)
		}
		if r.IntN(3) == 0 {
			rail.tube = "EN 10219 42.4x3.2"
		}
		p.rails = append(p.rails, rail)
	}
	if r.IntN(4) == 0 {
		p.top = heights[0] + 0.05
	}
	return p
}

// randomSplices puts a splice into some bays, not into all.
func randomSplices(r *rand.Rand, posts []float64) []float64 {
	var out []float64
	spare := r.IntN(len(posts) - 1)
	for i := range len(posts) - 1 {
		if i != spare && r.IntN(2) == 0 {
			bay := posts[i+1] - posts[i]
			out = append(out, posts[i]+math.Round(bay*(0.1+0.8*r.Float64())*1e6)/1e6)
		}
	}
	return out
}
