package explore_test

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
)

func documentText(t testing.TB, file string) (*barrier.Document, string) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := barrier.Read(file, data)
	if err != nil {
		t.Fatal(err)
	}
	return doc, string(data)
}

// Each variant comes to what check.Run finds of a file with its values written into it.
func TestVariantIsACheckOfAFileWithItsValues(t *testing.T) {
	for _, c := range []struct {
		file  string
		flags []string
		edit  []string // texts of the file, each replaced by what its verbs make of the values
	}{
		{"gallery", []string{"run.spacing=1.5 m..2.25 m:0.75 m", "rail.knee.height=500mm|550 mm"},
			[]string{`spacing   = "1.5 m"`, `spacing = "%[1]s"`, `height  = "600 mm"`, `height = "%[2]s"`}},
		{"gallery", []string{"post.tube + rail.tube=EN 10255 DN40 medium|EN 10255 DN50 medium", "post.base.stiffness=100..150 kNm/rad:50"},
			[]string{`"EN 10255 DN40 medium"`, `"%[1]s"`, `"150 kNm/rad"`, `"%[2]s"`}},
		{"loading-bay", []string{"limits.deflection=20 mm..25 mm:5mm"}, []string{`deflection = "25 mm"`, `deflection = "%[1]s"`}},
	} {
		doc, source := documentText(t, "../../testdata/"+c.file+".toml")
		s, err := explore.NewSweep(doc, c.flags)
		if err != nil {
			t.Errorf("%s: %v", c.file, err)
			continue
		}
		for i := range s.Len() {
			values := s.Values(i)
			text := source
			for k := 0; k < len(c.edit); k += 2 {
				if !strings.Contains(text, c.edit[k]) {
					t.Fatalf("%s has no %s", c.file, c.edit[k])
				}
				with := strings.ReplaceAll(strings.ReplaceAll(c.edit[k+1], "%[1]s", values[0]), "%[2]s", values[len(values)-1])
				text = strings.ReplaceAll(text, c.edit[k], with)
			}
			d, err := barrier.Parse(c.file+".toml", []byte(text))
			if err != nil {
				t.Fatalf("%s with %q: %v", c.file, values, err)
			}
			r, err := check.Run(d, check.Options{})
			if err != nil {
				t.Fatalf("%s with %q: %v", c.file, values, err)
			}
			compare(t, fmt.Sprintf("%s with %q", c.file, values), s.Variant(i), r)
		}
	}
}

// compare holds a row to the report of the same barrier, whose numbers have nine figures.
func compare(t *testing.T, what string, row explore.Variant, r *check.Result) {
	t.Helper()
	same := func(name string, got *float64, want *float64) {
		if (got == nil) != (want == nil) || got != nil && math.Abs(*got-*want) > 1e-8*math.Max(1e-3, math.Abs(*want)) {
			t.Errorf("%s: %s %v, want %v", what, name, value(got), value(want))
		}
	}
	if row.Status != r.Status || *row.ScopeComplete != r.ScopeComplete || *row.Feet != len(r.Posts) || *row.Unchecked != len(r.Unchecked) {
		t.Errorf("%s: %s %v, %d feet, %d unchecked, want %s %v, %d, %d", what, row.Status, *row.ScopeComplete, *row.Feet, *row.Unchecked, r.Status, r.ScopeComplete, len(r.Posts), len(r.Unchecked))
	}
	g := r.Governing
	if row.GoverningCheck != g.Overall.ID || row.GoverningElement != g.Overall.Element {
		t.Errorf("%s: governed by %s of %s, want %s of %s", what, row.GoverningCheck, row.GoverningElement, g.Overall.ID, g.Overall.Element)
	}
	same("utilisation", row.Utilisation, g.Overall.Utilisation)
	same("of strength", row.StrengthUtilisation, g.Strength.Utilisation)
	same("of deflection", row.DeflectionUtilisation, g.Deflection.Utilisation)
	var moment, uplift, slip, deflection float64
	for i := range r.Posts {
		moment, deflection = max(moment, r.Posts[i].BaseMoment), max(deflection, r.Posts[i].TopDeflection)
	}
	for i := range r.Rails {
		deflection = max(deflection, r.Rails[i].Deflection)
	}
	for i := range r.Fittings {
		slip = max(slip, math.Abs(r.Fittings[i].Slip))
	}
	for i := range r.BaseActions {
		if r.BaseActions[i].Level == "design" {
			uplift = max(uplift, r.BaseActions[i].Fz)
		}
	}
	longest := 0.0
	for i := 1; i < len(r.Posts); i++ { // the files here have neither gaps nor walls
		longest = max(longest, r.Posts[i].X-r.Posts[i-1].X)
	}
	same("longest bay", row.LongestBay, &longest)
	same("base moment", row.BaseMoment, &moment)
	same("uplift", row.BaseUplift, &uplift)
	same("slip", row.Slip, &slip)
	same("deflection", row.Deflection, &deflection)
	worst := map[string]float64{}
	for _, c := range r.Checks {
		if c.Utilisation != nil {
			worst[c.ID] = max(worst[c.ID], *c.Utilisation)
		}
	}
	for _, c := range row.Checks {
		if want, ok := worst[c.ID]; ok {
			same(c.ID, c.Utilisation, &want)
			delete(worst, c.ID)
		}
	}
	if len(worst) > 0 {
		t.Errorf("%s: no row of %v", what, slices.Sorted(maps.Keys(worst)))
	}
}

func value(p *float64) any {
	if p == nil {
		return "none"
	}
	return *p
}

func TestValuesOfASweep(t *testing.T) {
	doc, _ := documentText(t, "../../testdata/gallery.toml")
	for _, c := range []struct {
		flags []string
		want  string
	}{
		{[]string{"run.spacing=1m..1.5m:0.25m"}, "1 m; 1.25 m; 1.5 m"},
		{[]string{"run.spacing=1m, 1.5 m"}, "1m; 1.5 m"},
		{[]string{"run.spacing=1m | 1.2m..1.4m:0.1m | 2m"}, "1m; 1.2 m; 1.3 m; 1.4 m; 2m"},
		{[]string{"rail.through=true,false"}, "true; false"},
		{[]string{`title="a, b", 'c | d'`}, "a, b; c | d"},
		{[]string{"title=a, b | c"}, "a, b; c"},
		{[]string{`post.tube={ od = "48.3 mm", wall = "3.2 mm" }, { od = "60.3 mm", wall = "3.2 mm" }`}, `{ od = "48.3 mm", wall = "3.2 mm" }; { od = "60.3 mm", wall = "3.2 mm" }`},
		{[]string{`post.height=3'8"`}, `3'8"`},
		{[]string{"run.spacing=1m,2m", "post.height=1.1m,1.2m", "basis=EN"}, "1m/1.1m/EN; 1m/1.2m/EN; 2m/1.1m/EN; 2m/1.2m/EN"},
	} {
		s, err := explore.NewSweep(doc, c.flags)
		if err != nil {
			t.Errorf("%q: %v", c.flags, err)
			continue
		}
		var all []string
		for i := range s.Len() {
			all = append(all, strings.Join(s.Values(i), "/"))
		}
		if got := strings.Join(all, "; "); got != c.want {
			t.Errorf("%q is %s, want %s", c.flags, got, c.want)
		}
	}
}

func TestSweepSaysAllThatIsWrong(t *testing.T) {
	doc, source := documentText(t, "../../testdata/gallery.toml")
	for _, c := range []struct {
		flags []string
		want  []string // how each problem begins, behind its flag
	}{
		{nil, []string{`--vary "": nothing is varied`}},
		{[]string{"run.spacing"}, []string{`--vary "run.spacing": a key and its values are wanted`}},
		{[]string{"run.spacing="}, []string{`--vary "run.spacing=": run.spacing: a value is missing`}},
		{[]string{"run.spacing=1m,,2m"}, []string{`--vary "run.spacing=1m,,2m": run.spacing: a value is missing`}},
		{[]string{"run.spacing=1m,2m,1m"}, []string{`--vary "run.spacing=1m,2m,1m": run.spacing: "1m" stands twice`}},
		{[]string{"run.spacing=1kN"}, []string{`--vary "run.spacing=1kN": run.spacing: kN is a force, a length is wanted`}},
		{[]string{"run.spacing=1..2:0.5"}, []string{`--vary "run.spacing=1..2:0.5": run.spacing: quantity has no unit: 1 (put here: 1)`}},
		{[]string{"run.spacing=1,2 m"}, []string{`--vary "run.spacing=1,2 m": run.spacing: quantity has no unit: 1`}},
		{[]string{"run.posts=1m,2m"}, []string{
			`--vary "run.posts=1m,2m": run.posts: a list is wanted, this is text (put here: "1m")`,
			`--vary "run.posts=1m,2m": run.posts: a list is wanted, this is text (put here: "2m")`,
		}},
		{[]string{"rail.top.splices=1m"}, []string{`--vary "rail.top.splices=1m": rail[0].splices: a list of positions is wanted, this is text (put here: "1m")`}},
		{[]string{"rail.through=yes"}, []string{`--vary "rail.through=yes": rail[0].through: true or false is wanted, this is text`}},
		{[]string{"basis=EN,AISC-LRDF"}, []string{`--vary "basis=EN,AISC-LRDF": basis: unknown word "AISC-LRDF"`}},
		{[]string{"post.tube=EN 10255 DN40 medium|EN 10255 DN40 medum"}, []string{`--vary "post.tube=EN 10255 DN40 medium|EN 10255 DN40 medum": post.tube: no tube is called "EN 10255 DN40 medum"`}},
		{[]string{`post.tube={ od = "48.3 mm", wal = "3 mm" }`}, []string{`--vary "post.tube={ od = \"48.3 mm\", wal = \"3 mm\" }": post.tube.wal: unknown key in { od, wall }`}},
		{[]string{`post.tube={ od = `}, []string{`--vary "post.tube={ od = ": post.tube: "{ od =" opens a quote or a bracket`}},
		{[]string{`post.tube=[a]`}, []string{`--vary "post.tube=[a]": post.tube: "[a]": this is no value of TOML`}},
		{[]string{"run.spacing=0 m..1000 m:0.1 m", "post.height=1 m..2 m:1 mm"}, []string{`--vary "post.height=1 m..2 m:1 mm": post.height: with this the product of all values has more than 10000000 variants`}},
		{[]string{"rail.top.tube=a", "rail.tube=b"}, []string{
			`--vary "rail.top.tube=a": rail[0].tube: no tube is called "a"`,
			`--vary "rail.tube=b": rail.tube: rail[0].tube is varied by --vary "rail.top.tube=a" already`,
			`--vary "rail.tube=b": rail[0].tube: no tube is called "b"`,
		}},
		{[]string{"post.height+post.height=1m"}, []string{`--vary "post.height+post.height=1m": post.height+post.height: post.height stands twice`}},
		{[]string{"run.spacng=1m", "post.height=2m..1m:1mm", "rail.top.height=1kN"}, []string{
			`--vary "run.spacng=1m": run.spacng: spacng is an unknown key in [run]`,
			`--vary "post.height=2m..1m:1mm": post.height: the range runs backwards, from 2 m to 1 m`,
			`--vary "rail.top.height=1kN": rail[0].height: kN is a force`,
		}},
	} {
		_, err := explore.NewSweep(doc, c.flags)
		problems, ok := errors.AsType[barrier.Problems](err)
		if !ok || len(problems) != len(c.want) {
			t.Errorf("%q: %v\nwant %d problems", c.flags, err, len(c.want))
			continue
		}
		for i, p := range problems {
			if !strings.HasPrefix(p.Error(), c.want[i]) {
				t.Errorf("%q: problem %d is\n%v\nwant\n%s", c.flags, i, p, c.want[i])
			}
		}
	}
	_, err := explore.NewSweep(doc, []string{"run.posts=1m"})
	if err == nil || !strings.Contains(err.Error(), `each list is one value, with | between them: --vary 'run.posts=["0 m", "2 m"]|["0 m", "1 m", "2 m"]'`) {
		t.Errorf("where a list is wanted: %v", err)
	}
	// What is wrong with the file whatever is varied is told once, at its place.
	faulty, err := barrier.Read("faulty.toml", []byte(strings.Replace(source, "spacing   =", "spacng =", 1)))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := explore.NewSweep(faulty, []string{"post.height=1.1m,1.2m"}); err == nil || !strings.HasPrefix(err.Error(), "faulty.toml:9:1: run.spacng: unknown key in [run]") {
		t.Errorf("of a faulty file: %v", err)
	}
	if _, err := explore.NewSweep(faulty, []string{"run.spacng=1m"}); err == nil {
		t.Error("an unknown key that stands in the file is varied")
	}
}

// A word that is wrong beside some values alone is no fault of the call.
func TestValueThatDependsOnAnotherIsARow(t *testing.T) {
	doc, _ := documentText(t, "../../testdata/gallery.toml")
	s, err := explore.NewSweep(doc, []string{"post.height=1000mm|1100mm", "rail.top.height=1000mm|1100mm"})
	if err != nil {
		t.Fatal(err)
	}
	var got []check.Status
	for i := range s.Len() {
		row := s.Variant(i)
		got = append(got, row.Status)
		if refused := row.Status == explore.Refused; refused != strings.Contains(row.Note, "is above the post, which ends at 1000 mm") || refused && row.Utilisation != nil {
			t.Errorf("%v: %q", row.Values, row.Note)
		}
	}
	if want := []check.Status{check.Fail, explore.Refused, check.Fail, check.Pass}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

// On 7.8 m bays of at most 1.3, 1.4 and 1.5 m are six of 1.3 m, of at most 1.6 m five of 1.56 m.
// With a gap of 2 m, which is no bay of rails, 2.5 m and 3.3 m are left: two bays of 1.25 m and
// three of 1.1 m. By hand.
func TestRowTellsTheBayThatIsBuilt(t *testing.T) {
	_, source := documentText(t, "../../testdata/gallery.toml")
	source = strings.Replace(source, `length    = "9 m"`, `length = "7.8 m"`, 1)
	for gap, want := range map[string][]float64{
		"": {1.3, 1.3, 1.3, 1.56},
		"[[gap]]\nfrom = \"2.5 m\"\nto = \"4.5 m\"\n": {1.25, 1.25, 1.25, 1.25},
	} {
		doc, err := barrier.Read("gallery.toml", []byte(source+gap))
		if err != nil {
			t.Fatal(err)
		}
		s, err := explore.NewSweep(doc, []string{"run.spacing=1.3m,1.45m,1.5m,1.6m"})
		if err != nil {
			t.Fatal(err)
		}
		for i := range s.Len() {
			if row := s.Variant(i); row.LongestBay == nil || math.Abs(*row.LongestBay-want[i]) > 1e-8 {
				t.Errorf("%q, spacing %v: the longest bay is %v m, want %g (%s)", gap, row.Values, value(row.LongestBay), want[i], row.Note)
			}
		}
	}
}

func TestRunDeliversEveryVariantInOrder(t *testing.T) {
	doc, _ := documentText(t, "../../testdata/gallery.toml")
	s, err := explore.NewSweep(doc, []string{"run.spacing=1.5m|2.25m", "limits.deflection=20mm..30mm:5mm"})
	if err != nil {
		t.Fatal(err)
	}
	for _, from := range []int{0, 4, 6, 7} {
		next := from
		if err := s.Run(context.Background(), from, func(i int, row explore.Variant) error {
			if i != next || !reflect.DeepEqual(row, s.Variant(i)) {
				t.Errorf("from %d: %v comes as %d, want %d", from, row.Values, i, next)
			}
			next++
			return nil
		}); err != nil || next != max(from, 6) {
			t.Errorf("from %d: to %d, %v", from, next, err)
		}
	}
}

func FuzzVary(f *testing.F) {
	for _, flag := range []string{"run.spacing=1m..2m:0.25m", "rail.tube=EN 10255 DN40 medium | EN 10255 DN50 medium", `post.tube={ od = "48.3 mm", wall = "3.2 mm" }`, `post.height+rail.top.height=3'8", 1.2 m`, "rail.through=true,false", `title="a, b",'c`} {
		f.Add(flag)
	}
	doc, _ := documentText(f, "../../testdata/gallery.toml")
	f.Fuzz(func(t *testing.T, flag string) {
		s, err := explore.NewSweep(doc, []string{flag})
		if err != nil {
			if problems, ok := errors.AsType[barrier.Problems](err); !ok || len(problems) == 0 || problems[0].What == "" {
				t.Errorf("%q: %v does not say what is wrong", flag, err)
			}
			return
		}
		if s.Len() < 1 || s.Len() > explore.MaxSweep {
			t.Fatalf("%q has %d variants", flag, s.Len())
		}
		for _, i := range []int{0, s.Len() / 2, s.Len() - 1} {
			if values := s.Values(i); len(values) != 1 || values[0] == "" && !strings.Contains(flag, `""`) && !strings.Contains(flag, "''") {
				t.Errorf("%q: variant %d has the values %q", flag, i, values)
			}
		}
	})
}
