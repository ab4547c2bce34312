package verification

import "testing"

func TestKnownBy(t *testing.T) {
	for source, want := range map[string]Provenance{
		"EN 1993-1-1 6.2.4, memory":           Memory,
		"public sheet, completed from memory": Memory,
		"common practice, no source":          Practice,
		"independent eigenvalue program":      Program,
		"public inputs, completed, derived":   Derived,
		"public calculation sheet":            Public,
		"P h³/3EI":                            Derived,
	} {
		if got := KnownBy(source); got != want {
			t.Errorf("%q is known by %q, want %q", source, got, want)
		}
	}
}
