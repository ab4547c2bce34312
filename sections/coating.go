package sections

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"example.com/stanchion/internal/nearest"
)

// A Coating is a row of the table of zinc coatings: what a standard asks of tube of some walls.
type Coating struct {
	Name     string // "ISO 1461", "EN 10240 B.1", "ASTM A123 grade 75"; of each band of a standard the same
	Standard string
	Edition  string
	Band     // of the nominal wall
	// Local is the least thickness at a spot, m, on which life is quoted (ISO 14713-1, from
	// memory); where the standard knows none, that of a single specimen.
	Local       float64
	Mean        float64 // the least mean thickness, m; 0 where the standard sets none
	Mass        float64 // what the standard asks for, kg/m² of surface; 0 likewise
	OutsideOnly bool    // the inside of the tube is bare
	Notes       string
	Source      string
	Provenance  string
}

// Coatings returns the table in document order. The slice is the caller's own.
func Coatings() []Coating { return slices.Clone(coatingTable()) }

// An UnknownCoatingError says that no coating has a name.
type UnknownCoatingError struct {
	Name    string
	Nearest []string // likeliest first, may be empty
}

func (e *UnknownCoatingError) Error() string {
	text := fmt.Sprintf("no coating %q", e.Name)
	if len(e.Nearest) > 0 {
		text += "; nearest: " + quoted(e.Nearest)
	}
	return text
}

// FindCoating returns the coating of that name on a tube of a nominal wall, m. Case, spaces and
// hyphens do not matter.
//
// Error: *UnknownCoatingError.
func FindCoating(name string, wall float64) (Coating, error) {
	for _, c := range named(coatingIndex(), coatingTable(), name) {
		if c.Covers(wall) {
			return c, nil
		}
	}
	limit := 1 + len(name)/4
	return Coating{}, &UnknownCoatingError{Name: name, Nearest: nearest.Names(name, CoatingNames(), squash, limit, 4)}
}

// CoatingNames returns the names of the table in document order, each once.
func CoatingNames() []string {
	var names []string
	for _, c := range coatingTable() {
		if !slices.Contains(names, c.Name) {
			names = append(names, c.Name)
		}
	}
	return names
}

var coatingTable = sync.OnceValue(func() []Coating {
	const um, gram = 1e-6, 1e-3
	rows := readTable("coatings.csv")
	coatings := make([]Coating, 0, len(rows))
	for _, r := range rows {
		coatings = append(coatings, Coating{
			Name:        r.text("name"),
			Standard:    r.text("standard"),
			Edition:     r.text("edition"),
			Band:        r.band(),
			Local:       r.number("local_um") * um,
			Mean:        r.optional("mean_um") * um,
			Mass:        r.optional("mass_g_m2") * gram,
			OutsideOnly: r.text("side") == "outside",
			Notes:       r.text("notes"),
			Source:      r.text("source"),
			Provenance:  r.text("provenance"),
		})
	}
	return coatings
})

var coatingIndex = sync.OnceValue(func() nameIndex {
	index := nameIndex{}
	for i, c := range coatingTable() {
		index.add(squash(c.Name), i)
	}
	return index
})

// A CoatingRow is a coating as `list coatings` gives it.
type CoatingRow struct {
	Name       string   `json:"name"`
	Edition    string   `json:"edition"`
	Band       string   `json:"wall"`
	LocalUM    float64  `json:"local_um"`
	MeanUM     *float64 `json:"mean_um"` // nil where the standard sets none
	MassGPerM2 *float64 `json:"mass_g_per_m2"`
	Side       string   `json:"side"` // "both" or "outside"
	Notes      string   `json:"notes"`
	Source     string   `json:"source"`
	Provenance string   `json:"provenance"`
}

// Row returns the coating as a row of `list coatings`, numbers rounded to 9 significant digits.
func (c Coating) Row() CoatingRow {
	row := CoatingRow{
		Name: c.Name, Edition: c.Edition, Band: c.Words(), LocalUM: round9(c.Local * 1e6), MeanUM: given(c.Mean * 1e6),
		MassGPerM2: given(c.Mass * 1e3), Side: "both", Notes: c.Notes, Source: c.Source, Provenance: c.Provenance,
	}
	if c.OutsideOnly {
		row.Side = "outside"
	}
	return row
}

// SaysLocal reports whether Local is a thickness at a spot, and not that of a specimen.
func (c Coating) SaysLocal() bool { return !strings.HasPrefix(c.Name, "ASTM ") }
