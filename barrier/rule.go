package barrier

import (
	"errors"
	"strings"

	"example.com/stanchion/internal/quantity"
)

// ruleFix says what a limit of movement may be.
func (r *reader) ruleFix() string {
	return r.like(`write a length such as "25 mm", or a sum of terms h/number, L/number and lengths, such as "h/24 + L/96" or "h/120 + 5 mm"`)
}

// readRule reads a limit of movement: a length, or a rule, which is a sum of lengths and
// of shares h/n of the height and L/n of the bay.
func (t table) readRule(key string) (*Limit, bool) {
	path, value := t.at(key), t.values[key]
	text, isText := value.(string)
	if t.isLength(value) || !isText || !quantity.IsRule(text) {
		v, ok := t.positive(key, quantity.Length)
		return &Limit{Length: v}, ok
	}
	if text == "none" {
		none := "or leave it out for no limit"
		if key == "rule" {
			none = `or deflection = "none" for no limit`
		}
		t.fault(path, `"none" is no rule`, t.ruleFix()+"; "+none)
		return nil, false
	}
	rule, err := quantity.ParseRule(text, func(term string) (float64, error) { return t.lengthOfRule(path, term) })
	if err != nil {
		t.faultOfRule(path, err)
		return nil, false
	}
	written := strings.Join(strings.Fields(text), " ")
	return &Limit{Length: rule.Length, PerHeight: rule.PerHeight, PerBay: rule.PerBay, Rule: written}, true
}

// isLength says whether a value can be read as a length.
func (r *reader) isLength(value any) bool {
	_, err := quantity.ParseValue(value, quantity.Length, r.def.Units)
	return err == nil
}

// reported stands for a fault that has been reported.
type reported struct{}

func (reported) Error() string { return "reported" }

// lengthOfRule reads a term of a rule that is a length, and reports its fault itself.
func (t table) lengthOfRule(path, term string) (float64, error) {
	length, ok := t.quantityAt(path, term, quantity.Length)
	if !ok || !t.isPositive(path, length, quantity.Length) {
		return 0, reported{}
	}
	return length, nil
}

// faultOfRule reports a fault in a rule, unless it has been.
func (t table) faultOfRule(path string, err error) {
	e, ok := errors.AsType[*quantity.RuleError](err)
	if !ok {
		return
	}
	const letters = "h is the height of the highest rail, L the length of the bay"
	fix := t.ruleFix()
	switch e.Kind {
	case quantity.WrongLetter:
		fix = letters + ": " + fix
	case quantity.WrongCase:
		fix = letters + ", in these letters"
	}
	t.fault(path, e.What, fix)
}
