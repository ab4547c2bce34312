package barrier

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
)

// everyForm is a document with every form of key, string and table that TOML has.
const everyForm = `# comment
plain = 1 # comment
"quoted key" = 'literal # [text]'
dotted . "k.1" .'k2' = """
long " text "" with ] and } \""""""
"esc\u00e9\"" = "a \" # b"
list = [ 1, # one
	[2, 3], { a = 1, b.c = [ "x", "y" ] }, '''raw ' text''''',
]
date = 1979-05-27 07:32:00Z
empty = []
none = {}
[table]
key = 1.5e-3
inner = { a = "x", deep = { b = true }, "c d" = [ { e = 1 }, { e = 2 } ] }
[ table . "sub table" ]
key = inf
[[rail]]
height = "1100 mm"
[rail.base]
level = "0 mm"
[[rail.part]]
x = 1
[[rail.part]]
x = 2
[[rail]]
height = "600 mm"
[[rail.part]]
x = 3
`

// TestPlaces checks places of keys and values that the toml package would file under
// one key, or not at all.
func TestPlaces(t *testing.T) {
	l, err := newLocator(everyForm)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		path, name, value string
		line              int
	}{
		{"plain", "plain", "1", 2},
		{`"quoted key"`, `"quoted key"`, `'literal # [text]'`, 3},
		{`dotted."k.1".k2`, `dotted . "k.1" .'k2'`, "\"\"\"\nlong \" text \"\" with ] and } \\\"\"\"\"\"\"", 4},
		{`"escé\""`, `"esc\u00e9\""`, `"a \" # b"`, 6},
		{"list[1][0]", "2", "2", 8},
		{"list[2].b.c[1]", `"y"`, `"y"`, 8},
		{"list[3]", "'''raw ' text'''''", "'''raw ' text'''''", 8},
		{"date", "date", "1979-05-27 07:32:00Z", 10},
		{"none", "none", "{}", 12},
		{"table", "[table]", "[table]", 13},
		{"table.inner.deep.b", "b", "true", 15},
		{`table.inner."c d"[1].e`, "e", "2", 15},
		{`table."sub table".key`, "key", "inf", 17},
		{"rail[0].height", "height", `"1100 mm"`, 19},
		{"rail[0].base.level", "level", `"0 mm"`, 21},
		{"rail[0].part[1].x", "x", "2", 25},
		{"rail[1].height", "height", `"600 mm"`, 27},
		{"rail[1].part[0].x", "x", "3", 29},
		{"dotted", `dotted . "k.1" .'k2'`, `dotted . "k.1" .'k2'`, 4},
	} {
		p, ok := l.find(c.path)
		if !ok {
			t.Errorf("%s is not found", c.path)
			continue
		}
		name, value := everyForm[p.name.from:p.name.to], everyForm[p.value.from:p.value.to]
		if name != c.name || value != c.value || l.line(p.name.from)+1 != c.line {
			t.Errorf("%s is %q = %q on line %d, want %q = %q on line %d", c.path, name, value, l.line(p.name.from)+1, c.name, c.value, c.line)
		}
	}
	if p, ok := l.find("absent"); ok {
		t.Errorf("absent is found at %v", p)
	}
}

// TestPlacesAgree compares the scanner's keys with those of the toml package.
func TestPlacesAgree(t *testing.T) {
	for _, source := range documents(t) {
		md, err := toml.Decode(source, new(map[string]any))
		if err != nil {
			continue
		}
		if l, err := newLocator(source); !errors.Is(err, errTooDeep) && (err != nil || !l.agrees(md.Keys())) {
			t.Errorf("scanner: %v; its keys are not those of the toml package in\n%s", err, source)
		}
	}
	l, err := newLocator("a = 1\nb = 2\n")
	if err != nil || l.agrees([]toml.Key{{"a"}}) || l.agrees([]toml.Key{{"a"}, {"b"}, {"c"}}) || l.agrees([]toml.Key{{"b"}, {"a"}}) {
		t.Errorf("keys a, b agree with fewer, more or others: %v", err)
	}
}

// FuzzLocate holds the scanner against the toml package: on whatever that package
// accepts, the scanner gives up or has the same keys in the same order, and its places
// lie in the source.
func FuzzLocate(f *testing.F) {
	for _, source := range documents(f) {
		f.Add(source)
	}
	f.Fuzz(func(t *testing.T, source string) {
		source = strings.TrimPrefix(source, "\ufeff") // as Parse does
		if what, _ := tooMuch(source); what != "" {
			t.Skip()
		}
		l, err := newLocator(source)
		for _, p := range l.places {
			for _, s := range []span{p.name, p.value} {
				if err == nil && (s.from < 0 || s.from > s.to || s.to > len(source)) {
					t.Fatalf("%s stands at %v of %d bytes", p.path, s, len(source))
				}
			}
		}
		if err != nil {
			return
		}
		md, decodeErr := decodeTOML(source, new(map[string]any))
		if decodeErr == nil && !l.agrees(md.Keys()) {
			t.Fatalf("the scanner's keys are not those of the toml package, %v", md.Keys())
		}
	})
}

// documents returns the definitions of testdata and the document with every form.
func documents(t testing.TB) []string {
	t.Helper()
	sources := []string{everyForm}
	for _, pattern := range []string{"testdata/*.toml", "testdata/bad/*.toml"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			sources = append(sources, strings.TrimPrefix(string(data), "\ufeff"))
		}
	}
	return sources
}
