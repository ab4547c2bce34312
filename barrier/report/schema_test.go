package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// schemaNamed compiles a schema by a library that is not ours, in its strict draft.
func schemaNamed(t *testing.T, name string) *jsonschema.Schema {
	t.Helper()
	var text bytes.Buffer
	if err := Schema(&text, name); err != nil {
		t.Fatal(err)
	}
	document, err := jsonschema.UnmarshalJSON(&text)
	if err != nil {
		t.Fatal(err)
	}
	uri := "https://example.com/stanchion/schema/" + name + ".json"
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource(uri, document); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile(uri)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// decoded decodes JSON as the library wants it.
func decoded(t *testing.T, data []byte) map[string]any {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return v.(map[string]any)
}

// Every result among the examples validates, and so does one with all that options add; one that
// lost a field, has one more, a word for a number or an unknown verdict does not.
func TestResultsValidate(t *testing.T) {
	schema := schemaNamed(t, "result")
	files, err := filepath.Glob("../../testdata/*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("no results in testdata (%v)", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(decoded(t, data)); err != nil {
			t.Errorf("%s: %v", file, err)
		}
	}
	for _, name := range []string{"gallery", "boiler-gallery", "spray-walk"} {
		if err := schema.Validate(decoded(t, fullResult(t, name))); err != nil {
			t.Errorf("%s with all options: %v", name, err)
		}
	}
	for what, mutilate := range map[string]func(map[string]any){
		"without status":        func(r map[string]any) { delete(r, "status") },
		"without cautions":      func(r map[string]any) { delete(r, "cautions") },
		"with a field more":     func(r map[string]any) { r["verdict"] = "pass" },
		"a status of its own":   func(r map[string]any) { r["status"] = "ok" },
		"another schema":        func(r map[string]any) { r["schema"] = json.Number("2") },
		"a word for a moment":   func(r map[string]any) { row(r, "posts")["base_moment_Nm"] = "761 Nm" },
		"null for a demand":     func(r map[string]any) { row(r, "checks")["demand"] = nil },
		"a check of no id":      func(r map[string]any) { row(r, "checks")["id"] = "post-bendig" },
		"a row with a key more": func(r map[string]any) { row(r, "rails")["note"] = "" },
		"half a post":           func(r map[string]any) { row(r, "posts")["post"] = json.Number("1.5") },
	} {
		data, err := os.ReadFile("../../testdata/gallery.json")
		if err != nil {
			t.Fatal(err)
		}
		r := decoded(t, data)
		mutilate(r)
		if schema.Validate(r) == nil {
			t.Errorf("a result %s validates", what)
		}
	}
}

// row is the first row of a table.
func row(r map[string]any, table string) map[string]any {
	return r[table].([]any)[0].(map[string]any)
}

// fullResult is the result of an example with all that options add.
func fullResult(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile("../../testdata/" + name + ".toml")
	if err != nil {
		t.Fatal(err)
	}
	d, err := barrier.Parse(name+".toml", data)
	if err != nil {
		t.Fatal(err)
	}
	r, err := check.Run(d, check.Options{Trails: true, AllBaseActions: true, Diagrams: true, Units: quantity.Metric})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := JSON(&out, r); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// The schema of a definition has the tables and the keys that package barrier reads, no more and no
// less, and its patterns are those of package quantity.
func TestBarrierSchemaHasEveryKey(t *testing.T) {
	var root schemaTable
	text, err := os.ReadFile("schema/barrier.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &root); err != nil {
		t.Fatal(err)
	}
	of := map[string]schemaTable{root.Title: root}
	patterns := map[string]bool{}
	for _, def := range root.Defs {
		if def.Title != "" {
			of[def.Title] = def
		}
		patterns[def.Pattern] = true
	}
	for _, table := range barrier.Keys() {
		known, ok := of[table.Name]
		if !ok {
			t.Errorf("the schema has no table %s", table.Name)
			continue
		}
		delete(of, table.Name)
		got, want := slices.Sorted(maps.Keys(known.Properties)), slices.Sorted(slices.Values(table.Keys))
		if !slices.Equal(got, want) || known.Additional == nil || *known.Additional {
			t.Errorf("%s: the schema has %v, read are %v", table.Name, got, want)
		}
		for name, key := range known.Properties {
			if key.Description == "" && key.Ref == "" {
				t.Errorf("%s: the schema does not say what %s is", table.Name, name)
			}
		}
	}
	for title := range of {
		t.Errorf("the schema has a table %s, which nothing reads", title)
	}
	for d := quantity.Length; d <= quantity.CoatingMass; d++ {
		if !patterns[d.Pattern()] {
			t.Errorf("the schema does not have the pattern of %v: %s", d, d.Pattern())
		}
	}
}

type schemaTable struct {
	Title, Description, Pattern string
	Ref                         string                 `json:"$ref"`
	Additional                  *bool                  `json:"additionalProperties"`
	Properties                  map[string]schemaTable `json:"properties"`
	Defs                        map[string]schemaTable `json:"$defs"`
}

func (s *schemaTable) UnmarshalJSON(data []byte) error {
	type plain schemaTable
	var loose struct {
		plain
		Additional any `json:"additionalProperties"`
	}
	if err := json.Unmarshal(data, &loose); err != nil {
		return err
	}
	*s = schemaTable(loose.plain)
	if more, ok := loose.Additional.(bool); ok {
		s.Additional = &more
	}
	return nil
}

// asJSON decodes TOML and hands it over as JSON.
func asJSON(t *testing.T, text string) map[string]any {
	t.Helper()
	var v map[string]any
	if _, err := toml.Decode(text, &v); err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return decoded(t, data)
}

// Every example validates; one with a misspelt key, a number without its unit, a unit of something
// else or an unknown word does not.
func TestDefinitionsValidate(t *testing.T) {
	schema := schemaNamed(t, "barrier")
	files, err := filepath.Glob("../../testdata/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no examples (%v)", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(asJSON(t, string(data))); err != nil {
			t.Errorf("%s: %v", file, err)
		}
	}
	data, err := os.ReadFile("../../testdata/gallery.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, put, path string }{
		{"spacing", "spaceing", "/run"},
		{`basis`, `bases`, ""},
		{`"rigid"`, `"stiff"`, ""},
		{`"1100 mm"`, `1100`, ""},
		{`"1100 mm"`, `"1100"`, ""},
		{`"1100 mm"`, `"1100 kN"`, ""},
		{`"EN"`, `"EC3"`, "/basis"},
		{"[fitting]", "[fiting]", ""},
		{"[[load]]", "[load]", "/load"},
	} {
		text := strings.Replace(string(data), c.old, c.put, 1)
		if text == string(data) {
			continue // what the example does not have
		}
		err := schema.Validate(asJSON(t, text))
		if err == nil || !strings.Contains(fmt.Sprintf("%#v", err), strings.TrimPrefix(c.path, "/")) {
			t.Errorf("%s in place of %s: %v", c.put, c.old, err)
		}
	}
}
