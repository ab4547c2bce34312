package loads

import (
	"errors"
	"fmt"
	"sync"
)

// enWind is the file of EN 1991-1-4.
type enWind struct {
	code
	Terrain   []terrainRow
	Surface   []surfaceRow
	Wall      []wallRow
	EndEffect []endEffectRow `toml:"end_effect"`
}

type terrainRow struct {
	Name     string
	Use      string
	Z0, Zmin float64
	citationRow
}

type surfaceRow struct {
	Name string
	K    float64
	citationRow
}

type wallRow struct {
	Solidity     float64
	Slenderness  float64 // length over height; 0: of any
	Returned     bool    // with a return corner
	Coefficients []float64
	citationRow
}

type endEffectRow struct {
	Slenderness, Factor float64
	citationRow
}

// asceWind is the file of ASCE 7.
type asceWind struct {
	code
	Exposure    []exposureRow
	Coefficient []coefficientRow
}

type exposureRow struct {
	Name     string
	Alpha    float64
	Gradient float64 `toml:"zg"`
	citationRow
}

type coefficientRow struct {
	SolidityFrom float64 `toml:"solidity_from"`
	SolidityTo   float64 `toml:"solidity_to"`
	Flat         float64
	Round        float64
	RoundLarge   float64 `toml:"round_large"`
	citationRow
}

var windEN = sync.OnceValue(func() *enWind {
	const file = "tables/wind-en-1991-1-4.toml"
	t, err := decodeWindEN(embedded(file))
	must(file, err)
	return t
})

var windASCE = sync.OnceValue(func() *asceWind {
	const file = "tables/wind-asce-7.toml"
	t, err := decodeWindASCE(embedded(file))
	must(file, err)
	return t
})

func decodeWindEN(data []byte) (*enWind, error) {
	t := &enWind{}
	if err := decode(data, t); err != nil {
		return nil, err
	}
	faults := []error{t.audit()}
	for _, r := range t.Terrain {
		faults = append(faults, positive("terrain "+r.Name, r.Z0), positive("terrain "+r.Name, r.Zmin), t.citedRow("terrain "+r.Name, r.citationRow))
	}
	for _, r := range t.Surface {
		faults = append(faults, positive(r.Name, r.K), t.citedRow(r.Name, r.citationRow))
	}
	for _, r := range t.Wall {
		faults = append(faults, positive("wall", r.Solidity), t.citedRow("wall", r.citationRow))
		if len(r.Coefficients) != len(zoneEnds) {
			faults = append(faults, fmt.Errorf("wall: %d coefficients, not one a zone", len(r.Coefficients)))
		}
	}
	for i, r := range t.EndEffect {
		faults = append(faults, positive("end effect", r.Factor), t.citedRow("end effect", r.citationRow))
		if i > 0 && r.Slenderness <= t.EndEffect[i-1].Slenderness {
			faults = append(faults, errors.New("end effect: slendernesses do not ascend"))
		}
	}
	return t, errors.Join(faults...)
}

func decodeWindASCE(data []byte) (*asceWind, error) {
	t := &asceWind{}
	if err := decode(data, t); err != nil {
		return nil, err
	}
	faults := []error{t.audit()}
	for _, r := range t.Exposure {
		faults = append(faults, positive("exposure "+r.Name, r.Alpha), positive("exposure "+r.Name, r.Gradient), t.citedRow("exposure "+r.Name, r.citationRow))
	}
	last := 0.0
	for _, r := range t.Coefficient {
		faults = append(faults, positive("coefficient", r.Flat), positive("coefficient", r.Round), positive("coefficient", r.RoundLarge), t.citedRow("coefficient", r.citationRow))
		if r.SolidityFrom < last || r.SolidityTo <= r.SolidityFrom {
			faults = append(faults, errors.New("coefficient: solidities do not ascend"))
		}
		last = r.SolidityTo
	}
	return t, errors.Join(faults...)
}

// terrain returns a terrain category, nil where there is none of that name.
func (t *enWind) terrain(name string) *terrainRow {
	for i := range t.Terrain {
		if t.Terrain[i].Name == name {
			return &t.Terrain[i]
		}
	}
	return nil
}

func (t *enWind) surface(name string) *surfaceRow {
	for i := range t.Surface {
		if t.Surface[i].Name == name {
			return &t.Surface[i]
		}
	}
	panic("loads: no surface " + name)
}

// exposure returns an exposure, nil where there is none of that name.
func (t *asceWind) exposure(name string) *exposureRow {
	for i := range t.Exposure {
		if t.Exposure[i].Name == name {
			return &t.Exposure[i]
		}
	}
	return nil
}

// coefficient returns the row of force coefficients for a solidity: the last for one beyond,
// and the larger of each between two rows.
func (t *asceWind) coefficient(solidity float64) coefficientRow {
	at := 0
	for i := range t.Coefficient {
		if t.Coefficient[i].SolidityFrom <= solidity {
			at = i
		}
	}
	row := t.Coefficient[at]
	if solidity > row.SolidityTo && at+1 < len(t.Coefficient) {
		next := &t.Coefficient[at+1]
		row.Flat, row.Round, row.RoundLarge = max(row.Flat, next.Flat), max(row.Round, next.Round), max(row.RoundLarge, next.RoundLarge)
		row.Note = fmt.Sprintf("between the rows that end at %g and begin at %g: the larger", row.SolidityTo, next.SolidityFrom)
	}
	return row
}

// coefficientStep returns a force coefficient of a row as a step.
func (t *asceWind) coefficientStep(row coefficientRow, symbol string, value float64, values ...Value) Step {
	return Step{What: "force coefficient", Symbol: symbol, Formula: "by solidity, shape and D sqrt(qz)", Values: values, Result: value, Citation: t.cite(row.citationRow)}
}
