package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/BurntSushi/toml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"example.com/stanchion/barrier/report"
)

// TestNewChecksAsItStands checks what new writes, of every basis in both systems of units: it passes
// in its scope, is valid by the schema, and its remarks stand in one column or two.
func TestNewChecksAsItStands(t *testing.T) {
	var text bytes.Buffer
	if err := report.Schema(&text, "barrier"); err != nil {
		t.Fatal(err)
	}
	document, err := jsonschema.UnmarshalJSON(&text)
	if err != nil {
		t.Fatal(err)
	}
	const uri = "https://example.com/stanchion/schema/barrier.json"
	c := jsonschema.NewCompiler()
	if err := c.AddResource(uri, document); err != nil {
		t.Fatal(err)
	}
	schema, err := c.Compile(uri)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]string{}
	for _, basis := range beginningBases() {
		for _, units := range []string{"metric", "US"} {
			called := basis + " " + units
			code, definition, stderr := call("", "new", "--basis", basis, "--units", units)
			if code != exitPass || stderr != "" {
				t.Fatalf("%s: new ends with %d: %s", called, code, stderr)
			}
			if before, ok := seen[definition]; ok {
				t.Errorf("%s and %s are the same", called, before)
			}
			seen[definition] = called
			for line := range strings.Lines(definition) {
				if n := utf8.RuneCountInString(line); n > 100 {
					t.Errorf("%s: %d columns: %s", called, n, line)
				}
			}
			code, out, stderr := call(definition, "check", "-")
			if code != exitPass || stderr != "" || !strings.Contains(out, "\n  PASS  ") {
				t.Errorf("%s: check ends with %d\n%s%s", called, code, stderr, out)
			}
			var values map[string]any
			if _, err := toml.Decode(definition, &values); err != nil {
				t.Errorf("%s: %v", called, err)
				continue
			}
			if values["basis"] != basis || values["units"] != units {
				t.Errorf("%s: the file has %v, %v", called, values["basis"], values["units"])
			}
			data, err := json.Marshal(values)
			if err != nil {
				t.Fatal(err)
			}
			instance, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
			if err != nil {
				t.Fatal(err)
			}
			if err := schema.Validate(instance); err != nil {
				t.Errorf("%s: %v", called, err)
			}
		}
	}
}

// The bases that new offers are those of the schema of a definition, and so of package barrier.
func TestNewHasEveryBasis(t *testing.T) {
	for _, basis := range beginningBases() {
		if code, _, stderr := call("basis = \""+basis+"\"\n", "check", "-"); code != exitWrong || strings.Contains(stderr, "unknown word") {
			t.Errorf("%s is no basis: %s", basis, stderr)
		}
	}
	_, _, stderr := call("basis = \"none of them\"\n", "check", "-")
	for _, basis := range beginningBases() {
		if !strings.Contains(stderr, `"`+basis+`"`) {
			t.Errorf("the bases are %s", stderr)
		}
	}
}
