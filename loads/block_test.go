package loads

import (
	"bytes"
	"reflect"
	"slices"
	"testing"
)

// The parts of the file of mixes are, together, the file decoded whole and audited, and each has
// its rows in the order of the file.
func TestPartsOfTheMixesAreTheWhole(t *testing.T) {
	whole, err := decodeMixes(embedded(mixesFile))
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range bases() {
		want := &mixFile{
			Mix:            slices.DeleteFunc(slices.Clone(whole.Mix), func(r mixRow) bool { return r.Basis != b }),
			AccidentalRows: slices.DeleteFunc(slices.Clone(whole.AccidentalRows), func(r accidentalRow) bool { return r.Basis != b }),
		}
		got := mixesOf(b)
		if len(got.Mix) == 0 || !reflect.DeepEqual(got.Mix, want.Mix) || len(got.AccidentalRows) != len(want.AccidentalRows) ||
			len(got.AccidentalRows) > 0 && !reflect.DeepEqual(got.AccidentalRows, want.AccidentalRows) {
			t.Errorf("%s: %d mixes, want %d as they stand in the file", b, len(got.Mix), len(want.Mix))
		}
	}
	if got, want := psiTable(), (&mixFile{PsiRows: whole.PsiRows, XiRows: whole.XiRows}); !reflect.DeepEqual(got, want) {
		t.Errorf("psi and xi: %+v, want %+v", got, want)
	}
	if got, want := joiningTable(), (&mixFile{Together: whole.Together, Wind: whole.Wind, Ice: whole.Ice}); !reflect.DeepEqual(got, want) {
		t.Errorf("what may act together: %+v, want %+v", got, want)
	}
}

// So are the combinations of each basis.
func TestPartsOfTheCombinationsAreTheWhole(t *testing.T) {
	whole, err := decodeCombinations(embedded(combinationsFile))
	if err != nil {
		t.Fatal(err)
	}
	if len(whole) != len(bases()) {
		t.Errorf("%d bases in the file, want %d", len(whole), len(bases()))
	}
	for _, want := range whole {
		if got := combinationParts()[want.Basis](); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, want %+v", want.Basis, got, want)
		}
	}
}

// The blocks of a file are the file but for its head.
func TestBlocksAreTheFile(t *testing.T) {
	for _, file := range []string{mixesFile, combinationsFile} {
		data := embedded(file)
		var text []byte
		for _, b := range blocksOf(data) {
			text = append(text, b.text...)
		}
		if !bytes.HasSuffix(data, text) || bytes.Contains(data[:len(data)-len(text)], []byte("\n[")) {
			t.Errorf("%s: the blocks are not the file below its head", file)
		}
	}
}
