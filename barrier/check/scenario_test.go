package check

import (
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
)

// scenario is a barrier file in parts, so that a test changes only what it is
// about. Its tube is 48.3x3.2 throughout, h = 1.1 m and bays of 1.5 m.
type scenario struct {
	run     string
	grade   string
	height  string // of posts and the top rail
	base    string
	top     string // keys of the top rail beside name, height, tube and grade
	knee    string // of the knee rail; "" for none
	fitting string
	load    string
	limits  string
	scope   string
}

const (
	machinery = "schedule = \"EN ISO 14122-3\""
	outward   = "kind = \"point\"\nvalue = \"600 N\"\ndirection = \"outward\"\nname = \"people\""
	allOut    = "leave_out = [\"fitting\", \"base\", \"geometry\"]"
	through   = "through = true\nstock = \"6 m\""
	cutRail   = "through = false"
)

// lonePosts is a barrier whose answers are those of hand formulas: rails cut at
// every post are simple spans, and posts are cantilevers on their own.
func lonePosts() scenario {
	return scenario{
		run: "length = \"4.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = \"none\"", grade: "S235JRH", height: "1100 mm",
		base: "stiffness = \"150 kNm/rad\"", top: cutRail, knee: cutRail,
		fitting: "moment = \"free\"", load: outward, limits: "deflection = \"30 mm\"", scope: allOut,
	}
}

// throughRails is the same with continuous rails.
func throughRails() scenario {
	s := lonePosts()
	s.top, s.knee = through, through
	return s
}

func (s scenario) toml() string {
	var b strings.Builder
	part := func(head string, lines ...string) {
		b.WriteString(head + "\n" + strings.Join(lines, "\n") + "\n")
	}
	tube := "tube = \"EN 10219 48.3x3.2\"\ngrade = \"" + s.grade + "\""
	b.WriteString("basis = \"EN\"\n")
	part("[run]", s.run)
	part("[post]", tube, "height = \""+s.height+"\"")
	part("[post.base]", s.base, "level = \"0 mm\"")
	part("[[rail]]", "name = \"top\"\nheight = \""+s.height+"\"", tube, s.top)
	if s.knee != "" {
		part("[[rail]]", "name = \"knee\"\nheight = \"600 mm\"", tube, s.knee)
	}
	part("[fitting]", s.fitting)
	for load := range strings.SplitSeq(s.load, "\n\n") {
		part("[[load]]", load)
	}
	part("[limits]", s.limits)
	part("[scope]", s.scope)
	return b.String()
}

func (s scenario) definition(t testing.TB) *barrier.Definition {
	t.Helper()
	return parse(t, s.toml())
}

func parse(t testing.TB, text string) *barrier.Definition {
	t.Helper()
	d, err := barrier.Parse("scenario.toml", []byte(text))
	if err != nil {
		t.Fatalf("%v\nof\n%s", err, text)
	}
	return d
}

func (s scenario) check(t testing.TB) *Result {
	t.Helper()
	return result(t, s.definition(t), Options{})
}

func result(t testing.TB, d *barrier.Definition, o Options) *Result {
	t.Helper()
	r, err := Run(d, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// row returns the check of an id and element.
func (r *Result) row(t testing.TB, id, element string) *CheckRow {
	t.Helper()
	for i := range r.Checks {
		if c := &r.Checks[i]; c.ID == id && c.Element == element {
			return c
		}
	}
	t.Fatalf("no %s of %s among the checks", id, element)
	return nil
}

func (r *Result) has(id string) bool {
	for i := range r.Checks {
		if r.Checks[i].ID == id {
			return true
		}
	}
	return false
}

// open returns the unchecked item that starts with these words, nil for none.
func (r *Result) open(words string) *Item { return item(r.Unchecked, words) }

func item(items []Item, words string) *Item {
	for i := range items {
		if strings.HasPrefix(items[i].Item, words) {
			return &items[i]
		}
	}
	return nil
}

// largest returns the largest utilisation of the checks that an id starts.
// yield returns the largest utilisation of first yield, which largest leaves out.
func (r *Result) yield(id string) float64 {
	u := math.Inf(-1)
	for i := range r.Checks {
		if c := &r.Checks[i]; c.ID == id {
			u = math.Max(u, utilisationOf(c))
		}
	}
	return u
}

func (r *Result) largest(id string) float64 {
	u := math.Inf(-1)
	for i := range r.Checks {
		if c := &r.Checks[i]; strings.HasPrefix(c.ID, id) && governs(c) {
			u = math.Max(u, utilisationOf(c))
		}
	}
	return u
}

// says reports whether one of the texts holds the words.
func says(texts []string, words string) bool {
	for _, t := range texts {
		if strings.Contains(t, words) {
			return true
		}
	}
	return false
}

func (r *Result) ownCautions() (out []string) {
	for _, c := range r.Cautions {
		if c.ID == "" {
			out = append(out, c.Text)
		}
	}
	return out
}

// Nine figures are what a result keeps.
const digits = 1e-8

// The properties of 48.3x3.2 mm in SI, by hand: D = 48.3, d = 41.9.
var (
	handArea = math.Pi * (0.0483*0.0483 - 0.0419*0.0419) / 4
	handI    = math.Pi * (math.Pow(0.0483, 4) - math.Pow(0.0419, 4)) / 64
	handWpl  = (math.Pow(0.0483, 3) - math.Pow(0.0419, 3)) / 6
)

const (
	handE  = 210e9   // Pa
	handG  = 7850.0  // kg/m³
	gFall  = 9.80665 // m/s²
	handFy = 235e6   // Pa
)

// handWeight is the weight of a metre of tube, N/m.
func handWeight() float64 { return handG * gFall * handArea }

// equal compares to the digits of a result, and reports the hand formula.
func equal(t *testing.T, what string, got, want float64, how string) {
	t.Helper()
	if !(math.Abs(got-want) <= digits*math.Abs(want)) {
		t.Errorf("%s = %.10g, want %.10g (%s)", what, got, want, how)
	}
}
