package loads

import (
	"errors"
	"fmt"
)

// Step is one step of a computation as a reader follows it: what is sought, the formula as its
// source prints it, what is put in, the result and where all this comes from.
type Step struct {
	What    string // "peak velocity pressure"
	Symbol  string // "qp(z)"
	Formula string // "(1 + 7 Iv(z)) 1/2 ρ vm(z)^2"
	Values  []Value
	Result  float64 // in Unit
	Unit    string  // of the result: "N/m2", "m/s", "m", "kg/m3"; empty for a number

	Citation
}

// Value is what is put into a formula.
type Value struct {
	Symbol string
	Value  float64 // in Unit
	Unit   string  // as in Step; empty for a number
}

// ownStep returns a value of the user's own as a step; key says under which it stands.
func ownStep(what, symbol string, result float64, unit, key string) Step {
	return Step{What: what, Symbol: symbol, Result: result, Unit: unit,
		Citation: Citation{Standard: "the definition", Edition: "-", Clause: key, Source: "the definition", Provenance: UsersOwn, Confidence: "high"}}
}

// code is what a file of a standard holds beside its own tables: numbers and formulas by name.
type code struct {
	Standard string
	Edition  string
	Number   []numberRow
	Formula  []formulaRow
}

type numberRow struct {
	Name   string
	Symbol string
	Value  float64
	Unit   string
	citationRow
}

type formulaRow struct {
	Name   string
	Symbol string
	Text   string
	Unit   string
	citationRow
}

// cite returns the citation of a row of the file.
func (c *code) cite(r citationRow) Citation {
	out := Citation(r)
	out.Standard, out.Edition = c.Standard, c.Edition
	return out
}

// number returns a number of the file. A name that is not there is a fault of this package.
func (c *code) number(name string) Value {
	r := c.numberRow(name)
	return Value{r.Symbol, r.Value, r.Unit}
}

func (c *code) numberRow(name string) *numberRow {
	for i := range c.Number {
		if c.Number[i].Name == name {
			return &c.Number[i]
		}
	}
	panic("loads: " + c.Standard + " has no number " + name)
}

// given returns a number of the file as a step: what is taken, with its source.
func (c *code) given(name string) Step {
	r := c.numberRow(name)
	return Step{What: r.Name, Symbol: r.Symbol, Result: r.Value, Unit: r.Unit, Citation: c.cite(r.citationRow)}
}

// step returns a step by a formula of the file. A name that is not there is a fault of this
// package.
func (c *code) step(name string, result float64, values ...Value) Step {
	for i := range c.Formula {
		if f := &c.Formula[i]; f.Name == name {
			return Step{What: f.Name, Symbol: f.Symbol, Formula: f.Text, Values: values, Result: result, Unit: f.Unit, Citation: c.cite(f.citationRow)}
		}
	}
	panic("loads: " + c.Standard + " has no formula " + name)
}

// audit returns what is wrong with the numbers and formulas of the file.
func (c *code) audit() error {
	if c.Standard == "" || c.Edition == "" {
		return errors.New("no standard or edition")
	}
	var faults []error
	names := map[string]bool{}
	once := func(name string) error {
		if name == "" || names[name] {
			return fmt.Errorf("the name %q is empty or stands twice", name)
		}
		names[name] = true
		return nil
	}
	for _, r := range c.Number {
		faults = append(faults, once(r.Name), positive(r.Name, r.Value), cited(r.Name, c.cite(r.citationRow)))
	}
	for _, r := range c.Formula {
		if r.Symbol == "" || r.Text == "" {
			faults = append(faults, fmt.Errorf("%s: no symbol or no text", r.Name))
		}
		faults = append(faults, once(r.Name), cited(r.Name, c.cite(r.citationRow)))
	}
	return errors.Join(faults...)
}

// citedRow returns an error for a row that names a standard of its own, or has no source.
func (c *code) citedRow(what string, r citationRow) error {
	if r.Standard != "" || r.Edition != "" {
		return fmt.Errorf("%s: the standard stands at the top of the file", what)
	}
	return cited(what, c.cite(r))
}
