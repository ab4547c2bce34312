package barrier

import (
	"errors"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
)

const crossed = `basis = "EN"
[run]
posts = ["0 m", "1.5 m", "3 m"]
start = { kind = "wall", along = "held" }
[post]
tube = "EN 10255 DN40 medium"
[[rail]]
name = "top"
height = "1100 mm"
tube = "EN 10255 DN40 medium"
splices = ["0.2 m"]
[[rail]]
height = "600 mm"
tube = { od = "48.3 mm", wall = "3.2 mm" }
[[rail]]
name = "tube"
height = "300 mm"
[[load]]
name = "v. 2"
value = "0.5 kN/m"
[[load]]
name = "hand rail"
direction = { azimuth = "10 deg" }
[[combinations.own]]
name = "site"
factors = { "v. 2" = 1.5 }
`

func TestPaths(t *testing.T) {
	doc := mustRead(t, "crossed.toml", []byte(crossed))
	for _, c := range []struct {
		key  string
		want []string
	}{
		{"run.spacing", []string{"run.spacing"}},
		{" run . spacing ", []string{"run.spacing"}},
		{"basis", []string{"basis"}},
		{"post.height", []string{"post.height"}},
		{"post.base.stiffness", []string{"post.base.stiffness"}},
		{"post.base.flange.thickness", []string{"post.base.flange.thickness"}},
		{"post.tube", []string{"post.tube"}},
		{"run.posts[1]", []string{"run.posts[1]"}},
		{"run.start.along", []string{"run.start.along"}},
		{"run.end.along", []string{"run.end.along"}},
		{"rail[0].height", []string{"rail[0].height"}},
		{"rail.top.height", []string{"rail[0].height"}},
		{`rail."top".height`, []string{"rail[0].height"}},
		{"rail.height", []string{"rail[0].height", "rail[1].height", "rail[2].height"}},
		{"rail.top.splices[0]", []string{"rail[0].splices[0]"}},
		{"rail[1].tube.od", []string{"rail[1].tube.od"}},
		{"rail.tube", []string{"rail[0].tube", "rail[1].tube", "rail[2].tube"}},
		{"rail.tube.height", []string{"rail[2].height"}},
		{"rail.tube.tube", []string{"rail[2].tube"}},
		{"rail.top.tube", []string{"rail[0].tube"}},
		{"rail.net.hole", []string{"rail[0].net.hole", "rail[1].net.hole", "rail[2].net.hole"}},
		{`load."v. 2".value`, []string{"load[0].value"}},
		{"load.hand rail.direction.azimuth", []string{"load[1].direction.azimuth"}},
		{"load.value", []string{"load[0].value", "load[1].value"}},
		{"combinations.own.site.permanent", []string{"combinations.own[0].permanent"}},
		{`combinations.own.factors."v. 2"`, []string{`combinations.own[0].factors."v. 2"`}},
	} {
		got, err := doc.Paths(c.key)
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%s stands for %q (%v), want %q", c.key, got, err, c.want)
		}
	}
}

func TestPathsSaysWhatThereIsInstead(t *testing.T) {
	doc := mustRead(t, "crossed.toml", []byte(crossed))
	for _, c := range []struct{ key, what, fix string }{
		{"run.spacng", "spacng is an unknown key in [run]", "the nearest known key is spacing; known here: length, spacing, posts,"},
		{"runn.spacing", "runn is an unknown key at the top level", "the nearest known key is run; known here: title,"},
		{"post.mass", "mass is an unknown key in [post]", "known here: tube, grade, net, height, base"},
		{"rail", "rail is a list of tables", "name a key below it, rail.name of every one"},
		{"rail[0]", "rail[0] is a table", "name a key below it, such as rail[0].name"},
		{"rail.top", "rail[0] is a table", "name a key below it"},
		{"rail[3].height", "there is no rail[3]: the file has 3", "write rail[2] for the last"},
		{"rail.tpo.height", `"tpo" is neither the name of a [[rail]] nor a key of one`, `the nearest is rail.top; there are "top" and "tube"; known keys: name, height`},
		{"rail.heigth", `"heigth" is neither the name of a [[rail]] nor a key of one`, "the nearest is rail.height;"},
		{"rail.top.heigth", "heigth is an unknown key in [[rail]]", "the nearest known key is height;"},
		{"gate.from", "there is no [[gate]] in the file", "add one"},
		{"run[0].spacing", "run is one table and no list", "leave [0] out"},
		{"post.tube.od", `post.tube is "\"EN 10255 DN40 medium\"" here, and nothing stands below it at od`, "vary post.tube"},
		{"rail.tube.od", "", ""},
		{"run.length.unit", "run.length is not in the file, and holds no table", "vary run.length"},
		{"run.posts[3]", `run.posts is "[\"0 m\", \"1.5 m\", \"3 m\"]" here, and nothing stands below it at [3]`, "vary run.posts"},
		{"", "a key is missing", "write a key as run.spacing"},
		{"run.", "a key is missing", "write a key as run.spacing"},
		{".run", `a key is missing before ".run"`, "write"},
		{"rail[x].height", `"[x]" is no index: write [0], [1] and so on`, "write"},
		{"rail[-1].height", `"[-1]" is no index`, "write"},
		{"rail[0", `"[0" is no index`, "write"},
		{"rail[0]height", `a point is wanted before "height"`, "write"},
		{`rail."top`, `the quotes of "\"top" hold no key`, "write"},
		{"run.a=b", `"a=b" is no key`, "write"},
		{strings.Repeat("a.", 70) + "a", "a path of more than 64 steps", "write"},
	} {
		paths, err := doc.Paths(c.key)
		if c.what == "" {
			continue
		}
		problem, ok := errors.AsType[*Problem](err)
		if !ok || !strings.HasPrefix(problem.What, c.what) || !strings.Contains(problem.Fix, c.fix) {
			t.Errorf("%s: %q, %v\nwant %s, %s", c.key, paths, err, c.what, c.fix)
		}
	}
}

// What stands in the examples holds what is known of tables: below says of each table that it is
// one, or it has keys of the user's own; of each value that it may be one.
func TestBelowKnowsTheTablesOfTheExamples(t *testing.T) {
	opened := map[tableKind]bool{topLevel: true}
	for name, source := range examples(t) {
		var walk func(kind tableKind, path string, table map[string]any)
		walk = func(kind tableKind, path string, table map[string]any) {
			opened[kind] = true
			for key, value := range table {
				below, list, ok := kind.below(key)
				one, isTable := value.(map[string]any)
				many := tablesOf(value)
				isList := len(many) > 0 && many[0] != nil
				switch {
				case path+key == "combinations.own.factors":
				case isTable && (!ok || list), isList && !list:
					t.Errorf("%s: %s%s is a table", name, path, key)
				case isTable:
					walk(below, path+key+".", one)
				case isList:
					for i := range many {
						walk(below, path+key+".", many[i])
					}
				}
			}
		}
		walk(topLevel, "", mustRead(t, name, source).root)
	}
	// Each kind is reached from the top level by below alone.
	reached := map[tableKind]bool{topLevel: true}
	var reach func(kind tableKind)
	reach = func(kind tableKind) {
		for _, key := range kind.names() {
			if below, _, ok := kind.below(key); ok && !reached[below] {
				reached[below] = true
				reach(below)
			}
		}
	}
	reach(topLevel)
	for _, kind := range tableKinds() {
		if !reached[kind] {
			t.Errorf("no key leads to %s", kind)
		}
	}
	t.Logf("%d of %d kinds stand in the examples: %v", len(opened), len(tableKinds()), slices.Sorted(maps.Keys(opened)))
}

// Every key and value of every example is found under its own path, and stands for that alone.
func TestPathsOfTheExamplesAreTheirOwn(t *testing.T) {
	for name, source := range examples(t) {
		doc := mustRead(t, name, source)
		for _, l := range leaves("", doc.root) {
			if got, err := doc.Paths(l.path); err != nil || !slices.Equal(got, []string{l.path}) {
				t.Errorf("%s: %s stands for %q (%v)", name, l.path, got, err)
			}
		}
	}
}

func TestValueReadsTOML(t *testing.T) {
	for text, want := range map[string]any{
		`"a, b"`: "a, b", `'c:\d'`: `c:\d`, `["0 m", 2]`: []any{"0 m", int64(2)}, "0.5": 0.5, "true": true,
		`{ od = "48.3 mm", wall = "3 mm" }`: map[string]any{"od": "48.3 mm", "wall": "3 mm"},
	} {
		if got, err := Value(text); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s reads %v (%v), want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "900 mm", "[", `"a`, "1\ny = 2", "1 # two"} {
		if got, err := Value(text); err == nil && text != "1 # two" {
			t.Errorf("%q reads %v", text, got)
		}
	}
}

func FuzzPaths(f *testing.F) {
	for _, key := range []string{"run.spacing", "rail[0].height", `load."v. 2".value`, "rail.tube.od", "combinations.own.site.factors.x", "post.base.flange.thickness", "rail.top.splices[0]"} {
		f.Add(key)
	}
	doc, err := Read("crossed.toml", []byte(crossed))
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, key string) {
		paths, err := doc.Paths(key)
		if err != nil {
			if problem, ok := errors.AsType[*Problem](err); !ok || problem.What == "" {
				t.Errorf("%q: %v is no problem that says what is wrong", key, err)
			}
			return
		}
		if len(paths) == 0 {
			t.Errorf("%q stands for nothing", key)
		}
		for _, path := range paths {
			if again, err := doc.Paths(path); err != nil || !slices.Equal(again, []string{path}) {
				t.Errorf("%q stands for %q, which stands for %q (%v)", key, path, again, err)
			}
			way, err := parseKeyPath(path)
			if err != nil || way.String() != path {
				t.Errorf("%q is read as %q (%v)", path, way, err)
			}
			changed, err := changedAt(doc.root, way, "put here")
			if err != nil || valueAt(changed, way) != "put here" {
				t.Errorf("%q: no value can be put at %s: %v", key, path, err)
			}
		}
	})
}
