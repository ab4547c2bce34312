package barrier_test

import (
	"os"
	"testing"

	"example.com/stanchion/barrier"
)

// BenchmarkParse reads the definition of the README from its bytes.
func BenchmarkParse(b *testing.B) {
	data := gallery(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := barrier.Parse("gallery.toml", data); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkVariant makes a definition of the same document with another spacing.
func BenchmarkVariant(b *testing.B) {
	document, err := barrier.Read("gallery.toml", gallery(b))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := document.Definition(barrier.Change{Path: "run.spacing", Value: "1.2 m"}); err != nil {
			b.Fatal(err)
		}
	}
}

func gallery(b *testing.B) []byte {
	b.Helper()
	data, err := os.ReadFile("../testdata/gallery.toml")
	if err != nil {
		b.Fatal(err)
	}
	return data
}
