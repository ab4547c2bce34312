package barrier

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

// TestKeysAreDocumented holds the table of keys in the package's comment to the keys that are
// read, and asks that README.md names each of them where it describes the definition.
func TestKeysAreDocumented(t *testing.T) {
	listed := listedKeys(t)
	_, definition, _ := strings.Cut(text(t, "../README.md"), "\n## The definition\n")
	definition, _, _ = strings.Cut(definition, "\n## ")
	for _, kind := range tableKinds() {
		if want := strings.Join(kind.names(), ", "); listed[string(kind)] != want {
			t.Errorf("doc.go lists %q of %s, which reads %q", listed[string(kind)], kind, want)
		}
		delete(listed, string(kind))
		for _, name := range kind.names() {
			if !regexp.MustCompile("`[^`|]*\\b" + name + "\\b[^`|]*`").MatchString(definition) {
				t.Errorf("README.md does not name %s of %s", name, kind)
			}
		}
	}
	if len(listed) > 0 {
		t.Errorf("doc.go lists tables that are not there: %v", listed)
	}
}

// listedKeys returns the keys of each table in the package's comment.
func listedKeys(t *testing.T) map[string]string {
	_, table, _ := strings.Cut(text(t, "doc.go"), "values are described in README.md:\n//\n")
	table, _, found := strings.Cut(table, "//\n// ")
	if !found {
		t.Fatal("doc.go has no table of keys")
	}
	table = strings.ReplaceAll(table, "\n//\t      ", " ") // a line that goes on
	listed := map[string]string{}
	for line := range strings.Lines(table) {
		if part := regexp.MustCompile(`^//\t(.+?)  +(.*)\n$`).FindStringSubmatch(line); part != nil {
			listed[part[1]] = strings.Join(strings.Fields(part[2]), " ")
		}
	}
	return listed
}

func text(t *testing.T, file string) string {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}
