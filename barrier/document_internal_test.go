package barrier

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/BurntSushi/toml"
)

// examples returns the barriers of the repository's testdata, by name.
func examples(t testing.TB) map[string][]byte {
	t.Helper()
	files, err := filepath.Glob("../testdata/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no examples: %v", err)
	}
	sources := map[string][]byte{}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		sources[filepath.Base(file)] = data
	}
	return sources
}

func mustRead(t testing.TB, name string, source []byte) *Document {
	t.Helper()
	doc, err := Read(name, source)
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// leaf is a value of a document that is no table and holds none.
type leaf struct {
	path  string
	value any
}

// leaves returns the values below one, in order.
func leaves(path string, value any) []leaf {
	var all []leaf
	switch v := value.(type) {
	case map[string]any:
		for key, below := range v {
			all = append(all, leaves(join(path, key), below)...)
		}
	case []map[string]any:
		for i := range v {
			all = append(all, leaves(element(path, i), v[i])...)
		}
	default:
		return []leaf{{path, value}}
	}
	slices.SortFunc(all, func(a, b leaf) int { return cmp.Compare(a.path, b.path) })
	return all
}

// copied returns a copy of a value that shares nothing with it.
func copied(value any) any {
	switch v := value.(type) {
	case map[string]any:
		out := map[string]any{}
		for key := range v {
			out[key] = copied(v[key])
		}
		return out
	case []map[string]any:
		out := make([]map[string]any, len(v))
		for i := range v {
			out[i] = copied(v[i]).(map[string]any)
		}
		return out
	case []any:
		out := make([]any, len(v))
		for i := range v {
			out[i] = copied(v[i])
		}
		return out
	}
	return value
}

// said returns what a definition or its problems say, but for places.
func said(d *Definition, err error) string {
	if err != nil {
		var all []string
		problems, _ := errors.AsType[Problems](err) // a reader has no other
		for _, p := range problems {
			what, _, _ := strings.Cut(p.What, " (put here: ")
			all = append(all, p.Path+": "+strings.TrimSuffix(what, " (taken out)")+": "+p.Fix)
		}
		slices.Sort(all)
		return strings.Join(all, "\n")
	}
	out := *d
	out.locator, out.changes, out.Inputs = nil, nil, nil
	return fmt.Sprintf("%#v", flat(reflect.ValueOf(out), 0))
}

// flat returns a value with what its pointers point to in their place.
func flat(v reflect.Value, depth int) any {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if v.IsNil() {
			return nil
		}
		return flat(v.Elem(), depth+1)
	case reflect.Struct:
		var fields []any
		for i := range v.NumField() {
			fields = append(fields, v.Type().Field(i).Name, flat(v.Field(i), depth+1))
		}
		return fields
	case reflect.Slice, reflect.Array:
		var elements []any
		for i := range v.Len() {
			elements = append(elements, flat(v.Index(i), depth+1))
		}
		return elements
	}
	return fmt.Sprint(v)
}

// A variant is what the file would be that holds its values, whichever value is put there or
// taken out; the file is written by the toml package. Nothing of it stays in the document.
func TestVariantIsThatOfAFileWithItsValues(t *testing.T) {
	sources := examples(t)
	const every = 5 // a whole round takes some seconds
	for i, name := range slices.Sorted(maps.Keys(sources)) {
		if i%every != 0 {
			continue
		}
		source := sources[name]
		doc := mustRead(t, name, source)
		before := copied(doc.root)
		own := said(doc.Definition())
		others := []any{"900 mm", int64(3), 0.5, true, []any{"1 m", int64(2)}, map[string]any{"od": "60.3 mm", "wall": "4 mm"}}
		for i, l := range leaves("", doc.root) {
			if got := said(doc.Definition(Change{l.path, l.value})); got != own {
				t.Errorf("%s with its own %s put there again is another barrier", name, l.path)
			}
			for _, to := range []any{nil, others[i%len(others)]} {
				way, err := parseKeyPath(l.path)
				if err != nil {
					t.Fatal(err)
				}
				root := copied(doc.root)
				setBySteps(root, way, to)
				file, err := toml.Marshal(root)
				if err != nil {
					t.Fatalf("%s with %s = %v: %v", name, l.path, to, err)
				}
				want := said(Parse(name, file))
				if got := said(doc.Definition(Change{l.path, to})); got != want {
					t.Errorf("%s with %s = %v reads\n%s\nand its file\n%s", name, l.path, to, got, want)
				}
			}
		}
		if !reflect.DeepEqual(before, doc.root) {
			t.Errorf("%s: its variants have changed it", name)
		}
		if said(doc.Definition()) != own {
			t.Errorf("%s: after its variants it is another barrier", name)
		}
	}
}

// setBySteps puts a value into tables in place, or takes the key out.
func setBySteps(at any, way keyPath, to any) {
	for _, s := range way[:len(way)-1] {
		if list, ok := at.([]map[string]any); ok {
			at = list[s.index]
		} else {
			at = at.(map[string]any)[s.key]
		}
	}
	table, key := at.(map[string]any), way[len(way)-1].key
	if table[key] = to; to == nil {
		delete(table, key)
	}
}

const small = `basis = "EN"
[run]
length = "3 m"
spacing = "1.5 m"
toe_plate = "none"
[post]
tube = "EN 10255 DN40 medium"
grade = "S195T"
height = "1100 mm"
[post.base]
stiffness = ["60 kNm/rad", "200 kNm/rad"]
[[rail]]
name = "top"
height = "1100 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
through = true
[[load]]
name = "people"
kind = "line"
value = "0.5 kN/m"
direction = "outward"
[limits]
deflection = "25 mm"
`

func TestInputsOfAVariantAreItsValues(t *testing.T) {
	doc := mustRead(t, "small.toml", []byte(small))
	d, err := doc.Definition(
		Change{"run.spacing", "1 m"},
		Change{"post.base.stiffness[1]", "250 kNm/rad"},
		Change{"rail[0].tube", map[string]any{"od": "48.3 mm", "wall": "4 mm"}},
		Change{"rail[0].tube.wall", "3.6 mm"},
		Change{"post.height", nil},
		Change{"rail[0].stock", "6.5 m"},
		Change{"rail[0].stock", "7 m"},
	)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, in := range d.Inputs {
		got = append(got, fmt.Sprintf("%s = %s (%d)", in.Path, in.Text, in.Line))
	}
	want := `basis = EN (1)
run.length = 3 m (3)
run.spacing = 1 m (0)
run.toe_plate = none (5)
post.tube = EN 10255 DN40 medium (7)
post.grade = S195T (8)
post.base.stiffness = ["60 kNm/rad", "250 kNm/rad"] (0)
rail[0].name = top (13)
rail[0].height = 1100 mm (14)
rail[0].tube.od = 48.3 mm (0)
rail[0].tube.wall = 3.6 mm (0)
rail[0].grade = S195T (16)
rail[0].through = true (17)
load[0].name = people (19)
load[0].kind = line (20)
load[0].value = 0.5 kN/m (21)
load[0].direction = outward (22)
limits.deflection = 25 mm (24)
rail[0].stock = 7 m (0)`
	if text := strings.Join(got, "\n"); text != want {
		t.Errorf("the inputs are\n%s\nwant\n%s", text, want)
	}
	if d.Rails[0].Ring.Wall != 0.0036 || d.Rails[0].Stock != 7 {
		t.Errorf("wall and stock are %g and %g, want those of the last change", d.Rails[0].Ring.Wall, d.Rails[0].Stock)
	}
}

func TestProblemOfAChangedValueTellsIt(t *testing.T) {
	doc := mustRead(t, "small.toml", []byte(small))
	for _, c := range []struct {
		changes []Change
		want    string
	}{
		{[]Change{{"run.spacing", "5 kN"}}, "small.toml: run.spacing: kN is a force, a length is wanted: mm, m, cm, um, in, ft (put here: \"5 kN\")\n  fix: write a length such as \"1100 mm\" or \"42 in\""},
		{[]Change{{"run.spacing", int64(900)}}, "small.toml: run.spacing: quantity has no unit: 900 (put here: 900)\n  fix: write \"900 mm\" if that is meant; units of a length: mm, m, cm, um, in, ft"},
		{[]Change{{"rail[0].tube", map[string]any{"od": "48.3 mm", "wal": "4 mm"}}}, "small.toml: rail[0].tube.wal: unknown key in { od, wall } (put here: \"4 mm\")\n  fix: the nearest known key is wall"},
		{[]Change{{"run.spacng", "1 m"}}, "small.toml: run.spacng: unknown key in [run] (put here: \"1 m\")\n  fix: the nearest known key is spacing"},
		{[]Change{{"rail[0].through", nil}}, "small.toml:12:1: rail[0]: nothing says whether the rail runs through\n  12 | [[rail]]\n     | ^^^^^^^^\n     fix: add through = true, or through = false for a rail that is cut at every post, or the positions of its splices"},
		{[]Change{{"rail[1].tube", "x"}}, "small.toml: rail[1].tube: [1] is none of a list of 1: they are counted from [0]"},
		{[]Change{{"rail.tube", "x"}}, "small.toml: rail.tube: tube is none of a list of 1: they are counted from [0]"},
		{[]Change{{"rail[0]", nil}}, "small.toml: rail[0]: [0] is an element of a list, and cannot be taken out alone"},
		{[]Change{{"rail[0]", "x"}}, "small.toml: rail[0]: [0] is a table, and no value can stand in its place"},
		{[]Change{{"post[0].tube", "x"}}, "small.toml: post[0].tube: [0] stands below a table and not below a list"},
		{[]Change{{"gate[0].from", "x"}}, "small.toml: gate[0].from: there is no list of that name in the file"},
		{[]Change{{"post.tube.od", "48.3 mm"}}, "small.toml: post.tube.od: od stands below a value and not below a table"},
		{[]Change{{"", "x"}, {"a..b", "x"}, {"[0]", "x"}}, "small.toml: a key is missing\n\nsmall.toml: a..b: a key is missing before \".b\"\n\nsmall.toml: [0]: [0] stands below a table and not below a list"},
	} {
		_, err := doc.Definition(c.changes...)
		if err == nil || err.Error() != c.want {
			t.Errorf("%v reads\n%v\nwant\n%s", c.changes, err, c.want)
		}
	}
}

// What is found after reading has no place either where the value was put there.
func TestLaterProblemOfAChangedValueTellsIt(t *testing.T) {
	doc := mustRead(t, "small.toml", []byte(small))
	d, err := doc.Definition(Change{"post.grade", "EN 39 S235GT"})
	if err != nil {
		t.Fatal(err)
	}
	const changed = "small.toml: post.grade: too weak (put here: \"EN 39 S235GT\")\n  fix: take another"
	if got := d.Problem("post.grade", "too weak", "take another").Error(); got != changed {
		t.Errorf("got\n%s\nwant\n%s", got, changed)
	}
	const kept = "small.toml:7:8: post.tube: too thin\n  7 | tube = \"EN 10255 DN40 medium\"\n    |        ^^^^^^^^^^^^^^^^^^^^^^\n    fix: take another"
	if got := d.Problem("post.tube", "too thin", "take another").Error(); got != kept {
		t.Errorf("got\n%s\nwant\n%s", got, kept)
	}
}

func TestTakingOutWhatIsNotThereChangesNothing(t *testing.T) {
	doc := mustRead(t, "small.toml", []byte(small))
	own := said(doc.Definition())
	if got := said(doc.Definition(Change{"infill.mass", nil}, Change{"post.net", nil}, Change{"scope.leave_out", nil})); got != own {
		t.Errorf("got another barrier: %s", got)
	}
}

// Run with -race: many goroutines make variants of one document.
func TestDocumentIsSharedByGoroutines(t *testing.T) {
	doc := mustRead(t, "small.toml", []byte(small))
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			for j := range 25 {
				height := fmt.Sprintf("%d mm", 900+8*j+i)
				d, err := doc.Definition(Change{"post.height", "1200 mm"}, Change{"rail[0].height", height}, Change{"rail[0].net", map[string]any{"hole": "8 mm", "at": "fittings"}})
				if err != nil || d.Rails[0].Height != float64(900+8*j+i)/1000 {
					t.Errorf("a rail at %s: %v", height, err)
				}
				if _, err := doc.Definition(Change{"run.spacing", height}, Change{"post.tube", "no such tube"}); err == nil {
					t.Error("a tube that is not there is read")
				}
			}
		})
	}
	all.Wait()
	if d, err := doc.Definition(); err != nil || d.Rails[0].Height != 1.1 {
		t.Errorf("the document has changed: %v", err)
	}
}
