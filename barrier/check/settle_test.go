package check

import (
	"bytes"
	"encoding/json"
	"math"
	"runtime"
	"slices"
	"testing"

	"example.com/stanchion/internal/quantity"
)

func bytesOf(t *testing.T, name string, o Options) []byte {
	t.Helper()
	r := result(t, example(t, name), o)
	b, err := json.Marshal(r) // refuses NaN and infinities
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return b
}

var examples = [...]string{"gallery.toml", "loading-bay.toml", "pump-pit.toml", "valve-platform.toml"}

// Same input, same bytes: again, and on one and on eight processors. Every number
// has nine significant figures at most, and lists are never null.
func TestBytesOfAResult(t *testing.T) {
	for _, name := range examples {
		o := Options{Trails: true, Diagrams: true, AllBaseActions: name == "gallery.toml"}
		was := runtime.GOMAXPROCS(1)
		first := bytesOf(t, name, o)
		runtime.GOMAXPROCS(8)
		second := bytesOf(t, name, o)
		runtime.GOMAXPROCS(was)
		if !bytes.Equal(first, second) {
			t.Errorf("%s: two runs give other bytes", name)
		}
		d := json.NewDecoder(bytes.NewReader(first))
		d.UseNumber()
		var v map[string]any
		if err := d.Decode(&v); err != nil {
			t.Fatal(err)
		}
		settled(t, name, v)
		for _, list := range []string{"cautions", "assumptions", "load_path", "models", "posts", "rails", "checks", "fittings", "splices", "ends", "base_actions", "hand_checks", "geometry", "unchecked", "left_out", "sources", "trails", "diagrams"} {
			if _, ok := v[list].([]any); !ok {
				t.Errorf("%s: %s is %T, want a list", name, list, v[list])
			}
		}
	}
}

// settled reports every number that has more than nine figures or is -0.
func settled(t *testing.T, path string, v any) {
	t.Helper()
	switch v := v.(type) {
	case json.Number:
		f, err := v.Float64()
		if err != nil || quantity.Figures(f, printedFigures) != f || f == 0 && math.Signbit(f) {
			t.Errorf("%s = %s, want nine figures of a number", path, v)
		}
	case map[string]any:
		for k, e := range v {
			settled(t, path+"."+k, e)
		}
	case []any:
		for _, e := range v {
			settled(t, path+"[]", e)
		}
	}
}

// Nothing asked for, nothing brought: empty lists, not null.
func TestTrailsAndDiagramsAreAskedFor(t *testing.T) {
	r := lonePosts().check(t)
	if r.Trails == nil || len(r.Trails) != 0 || r.Diagrams == nil || len(r.Diagrams) != 0 {
		t.Errorf("trails %v and diagrams %v, want empty lists", r.Trails, r.Diagrams)
	}
}

func TestFigures(t *testing.T) {
	for v, want := range map[float64]float64{
		1234.567890123: 1234.56789, -0.000123456789123: -0.000123456789, 0: 0, math.Copysign(0, -1): 0,
		999999999.9: 1e9, 123456789012: 123456789000, 5e-324: 5e-324,
	} {
		if got := quantity.Figures(v, printedFigures); got != want || math.Signbit(got) != math.Signbit(want) {
			t.Errorf("figures(%v) = %v, want %v", v, got, want)
		}
	}
}

// What is below 1e-9 of the largest of its unit in a table is 0; other units and
// other tables do not count.
func TestSmallValuesAreZero(t *testing.T) {
	r := &Result{
		Posts:      []PostRow{{BaseMoment: 800, BaseShear: 1e-10, TopDeflection: 1e-7}, {BaseMoment: 7e-7, BaseShear: 0.2}},
		HandChecks: []HandCheck{{Frame: 1e3, Hand: 1e-7, Unit: "Nm"}, {Frame: 1e-7, Unit: "mm"}},
	}
	r.settle()
	if r.Posts[0].BaseShear != 0 || r.Posts[1].BaseMoment != 0 || r.Posts[0].TopDeflection != 1e-7 || r.Posts[1].BaseShear != 0.2 {
		t.Errorf("posts %+v", r.Posts)
	}
	if r.HandChecks[0].Hand != 0 || r.HandChecks[1].Frame != 1e-7 {
		t.Errorf("hand checks %+v", r.HandChecks)
	}
	shared := 0.1234567891234
	r = &Result{Checks: []CheckRow{{Utilisation: &shared}, {Utilisation: &shared}}}
	r.settle()
	if shared != 0.1234567891234 || *r.Checks[1].Utilisation != 0.123456789 {
		t.Errorf("a shared utilisation: %v, %v", shared, *r.Checks[1].Utilisation)
	}
}

func TestResidualBounds(t *testing.T) {
	for r, want := range map[float64]string{0: "1e-12", 9e-13: "1e-12", 1.1e-12: "1e-11", 1e-8: "1e-08", 2: "1e-00", math.NaN(): "1e-00"} {
		if got := bound(r); got != want {
			t.Errorf("bound(%v) = %q, want %q", r, got, want)
		}
	}
	r := result(t, example(t, "gallery.toml"), Options{})
	good := []string{"1e-12", "1e-11", "1e-10", "1e-09", "1e-08"}
	for _, b := range []string{r.SelfCheck.StiffnessResidual, r.SelfCheck.EquilibriumResidual, r.SelfCheck.PlacementResidual} {
		if !slices.Contains(good, b) {
			t.Errorf("residual bound %q is above 1e-08, and no error came", b)
		}
	}
}

// Inputs are one object in file order.
func TestInputsKeepTheirOrder(t *testing.T) {
	b, err := json.Marshal(Inputs{{"run.length", "9 m", 1}, {"basis", "EN", 2}, {"a \"key\"", "<&>", 0}})
	if err != nil {
		t.Fatal(err)
	}
	var back map[string]string
	if err := json.Unmarshal(b, &back); err != nil || back["a \"key\""] != "<&>" {
		t.Errorf("%s: %v", b, err)
	}
	if !bytes.HasPrefix(b, []byte(`{"run.length":"9 m","basis":"EN",`)) {
		t.Errorf("%s is not in file order", b)
	}
}
