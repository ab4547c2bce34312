package main

import (
	"path/filepath"
	"strings"
	"testing"
)

// TestUnwritableOutputIsNamed asks for a name that no file system takes, longer than 255 bytes.
func TestUnwritableOutputIsNamed(t *testing.T) {
	name := filepath.Join(t.TempDir(), strings.Repeat("x", 300))
	err := save(name, []byte("text"))
	if err == nil || !strings.HasPrefix(err.Error(), "writing "+name+": ") || strings.Contains(err.Error(), ".x") {
		t.Errorf("%v, want that %s cannot be written, and why", err, name)
	}
}
