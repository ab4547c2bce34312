package check

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
)

// evaluate works out a formula as a reader with a pocket calculator would: √, powers, products
// side by side, |x|, brackets, min and max, sine, cosine and arc sine in radians, "at most", "at
// least", "the larger of a and b".
func evaluate(formula string, values map[string]float64) (v float64, err error) {
	var symbols []string
	for symbol := range values {
		symbols = append(symbols, symbol)
	}
	var tokens []token
	for _, p := range partsOf(formula, symbols) {
		if p.symbol {
			tokens = append(tokens, token{kind: 'n', value: values[p.text]})
			continue
		}
		more, err := tokensOf(p.text)
		if err != nil {
			return 0, fmt.Errorf("%q: %w", formula, err)
		}
		tokens = append(tokens, more...)
	}
	defer func() {
		if wrong, ok := recover().(error); ok {
			err = fmt.Errorf("%q: %w", formula, wrong)
		}
	}()
	p := &formulaParser{tokens: tokens}
	v = p.bounded()
	if p.at < len(tokens) {
		return 0, fmt.Errorf("%q: more after its end: %+v", formula, tokens[p.at:])
	}
	return v, nil
}

// token is a number ('n'), a phrase ('w'), a function ('f') or a sign.
type token struct {
	kind  rune
	value float64
	text  string
}

// phrases are the words that a formula may have.
var phrases = []string{"at most", "no more than", "at least", "no less than", "the larger of", "the smaller of", "and"}

func tokensOf(text string) (out []token, err error) {
	for text != "" {
		r, size := utf8.DecodeRuneInString(text)
		switch {
		case unicode.IsSpace(r):
		case unicode.IsDigit(r):
			size = len(text) - len(strings.TrimLeft(text, "0123456789."))
			v, err := strconv.ParseFloat(text[:size], 64)
			if err != nil {
				return nil, err
			}
			out = append(out, token{kind: 'n', value: v})
		case r == 'π':
			out = append(out, token{kind: 'n', value: math.Pi})
		case unicode.IsLetter(r):
			if f := word(text); isFunction(f) {
				out, size = append(out, token{kind: 'f', text: f}), len(f)
				break
			}
			phrase := ""
			for _, p := range phrases {
				if strings.HasPrefix(text, p) {
					phrase = p
				}
			}
			if phrase == "" {
				return nil, fmt.Errorf("%q is no symbol of an earlier step", text)
			}
			out, size = append(out, token{kind: 'w', text: phrase}), len(phrase)
		default:
			out = append(out, token{kind: r})
		}
		text = text[size:]
	}
	return out, nil
}

type formulaParser struct {
	tokens []token
	at     int
	inside bool // between the bars of a size: the next bar ends it
}

func (p *formulaParser) next() token {
	if p.at < len(p.tokens) {
		return p.tokens[p.at]
	}
	return token{kind: 'e'}
}

func (p *formulaParser) take(kind rune, text string) bool {
	if t := p.next(); t.kind != kind || t.text != text {
		return false
	}
	p.at++
	return true
}

func (p *formulaParser) want(kind rune, text string) {
	if !p.take(kind, text) {
		panic(fmt.Errorf("%q%s is wanted at %d, %+v stands there", kind, text, p.at, p.next()))
	}
}

// bounded is a sum, or the larger or smaller of two, with its bounds.
func (p *formulaParser) bounded() float64 {
	var v float64
	switch {
	case p.take('w', "the larger of"):
		v = p.sum()
		p.want('w', "and")
		v = math.Max(v, p.sum())
	case p.take('w', "the smaller of"):
		v = p.sum()
		p.want('w', "and")
		v = math.Min(v, p.sum())
	default:
		v = p.sum()
	}
	for p.take(',', "") {
		switch {
		case p.take('w', "at most"), p.take('w', "no more than"):
			v = math.Min(v, p.sum())
		default:
			if !p.take('w', "at least") {
				p.want('w', "no less than")
			}
			v = math.Max(v, p.sum())
		}
	}
	return v
}

func (p *formulaParser) sum() float64 {
	v := p.product()
	for {
		switch {
		case p.take('+', ""):
			v += p.product()
		case p.take('-', ""):
			v -= p.product()
		default:
			return v
		}
	}
}

// product reads factors. A factor beside another binds as × does, so that a/(b c) has its
// brackets.
func (p *formulaParser) product() float64 {
	v := p.power()
	for {
		switch {
		case p.take('/', ""):
			v /= p.power()
		case p.take('×', ""), p.take('·', ""):
			v *= p.power()
		case strings.ContainsRune("nf([√", p.next().kind), p.next().kind == '|' && !p.inside:
			v *= p.power()
		default:
			return v
		}
	}
}

func (p *formulaParser) power() float64 {
	if p.take('-', "") {
		return -p.power()
	}
	if p.take('√', "") {
		return math.Sqrt(p.power())
	}
	v := p.factor()
	for {
		switch {
		case p.take('²', ""):
			v *= v
		case p.take('³', ""):
			v = v * v * v
		case p.take('⁴', ""):
			v = v * v * v * v
		case p.take('^', ""):
			v = math.Pow(v, p.factor())
		default:
			return v
		}
	}
}

func (p *formulaParser) factor() float64 {
	for open, shut := range map[rune]rune{'(': ')', '[': ']', '|': '|'} {
		if p.take(open, "") {
			outside := p.inside
			p.inside = open == '|'
			v := p.sum()
			p.inside = outside
			p.want(shut, "")
			if open == '|' {
				v = math.Abs(v)
			}
			return v
		}
	}
	t := p.next()
	if t.kind == 'f' {
		p.at++
		return p.function(t.text)
	}
	if t.kind != 'n' {
		panic(fmt.Errorf("a number is wanted at %d, %+v stands there", p.at, t))
	}
	p.at++
	return t.value
}

// function is a function of what stands behind its name: of a list in brackets, or of the next
// factor.
func (p *formulaParser) function(name string) float64 {
	of := map[string]func(float64) float64{"sin": math.Sin, "cos": math.Cos, "arcsin": math.Asin}[name]
	if of != nil {
		return of(p.power())
	}
	join := map[string]func(float64, float64) float64{"min": math.Min, "max": math.Max}[name]
	outside := p.inside
	p.inside = false
	p.want('(', "")
	v := p.sum()
	p.want(',', "")
	v = join(v, p.sum())
	for p.take(',', "") {
		v = join(v, p.sum())
	}
	p.want(')', "")
	p.inside = outside
	return v
}

// inNewtonsAndMillimetres are the units of steps in N and mm, in which the codes print
// their formulas.
var inNewtonsAndMillimetres = map[string]float64{
	"1": 1, "mm": 1, "mm²": 1, "mm³": 1, "mm⁴": 1, "N": 1, "Nm": 1e3, "MPa": 1, "Nm/rad": 1e3,
	"m": 1e3, "kN": 1e3, "N/m": 1e-3, "N/mm": 1, "Pa": 1e-6, "kPa": 1e-3, "deg": math.Pi / 180, "rad": 1, "N/m3": 1e-9, "kN/m3": 1e-6, "kPa/m": 1e-6, "s": 1, "kg": 1, "Hz": 1,
}

func TestEvaluate(t *testing.T) {
	values := map[string]float64{"d": 48.3, "t": 3.2, "Wpl": 6521, "fy": 195, "γM0": 1, "E": 2, "I": 3, "Mc,Rd": 7, "MEd": 14, "d/t": 15, "N": -5, "Vpl,T,Rd": 8}
	for formula, want := range map[string]float64{
		"(d³ - (d - 2t)³)/6": (48.3*48.3*48.3 - 41.9*41.9*41.9) / 6,
		"Wpl fy / γM0":       6521 * 195,
		"√(235/fy)":          math.Sqrt(235. / 195),
		"π² EI/(4h²)":        math.NaN(), // no h
		"π² EI/4":            math.Pi * math.Pi * 6 / 4,
		"MEd/Mc,Rd + 2^1.5":  2 + math.Pow(2, 1.5),
		"|N|, at most 4":     4,
		"N, at least 0":      0,
		"the larger of d and d/t, at most 0.1Wpl": 48.3,
		"-N/Vpl,T,Rd":                 0.625,
		"√2 d/t":                      math.Sqrt2 * 15,
		"[1 - 3/(d/t)]²":              0.64,
		"min(d, 2t) E - max(1, t, E)": 6.4*2 - 3.2,
		"t sin E cos I":               3.2 * math.Sin(2) * math.Cos(3),
		"arcsin(t/(2 d))":             math.Asin(1.6 / 48.3),
		"min(d)":                      math.NaN(),
		"2^(3/2) E":                   2 * math.Pow(2, 1.5),
		"2 |N| d":                     10 * 48.3,
		"Mx d":                        math.NaN(),
	} {
		got, err := evaluate(formula, values)
		if math.IsNaN(want) != (err != nil) || err == nil && math.Abs(got-want) > 1e-12*math.Abs(want) {
			t.Errorf("evaluate(%q) = %v, %v, want %v", formula, got, err, want)
		}
	}
}

// checkSteps holds a trail to what a reader asks of it: each step says what is sought, in a
// unit, by a clause of the tables or none, and how it is known; each formula gives its value
// from the values put in.
func checkSteps(trail *Trail, limits ...string) error {
	var wrong []error
	values := map[string]float64{}
	for i := range trail.Steps {
		s := &trail.Steps[i]
		fault := func(format string, a ...any) {
			wrong = append(wrong, fmt.Errorf("%s of %s: step %d, %s = %s: %s", trail.ID, trail.Element, i+1, s.Symbol, s.Formula, fmt.Sprintf(format, a...)))
		}
		scale, known := inNewtonsAndMillimetres[s.Unit]
		if s.What == "" || s.Symbol == "" || !known {
			fault("no words, symbol or unit: %+v", s)
		}
		if s.Provenance == "" {
			fault("no provenance; clause %q", s.Clause)
		}
		if _, listed := clauseOf(s.Clause); s.Clause != "" && !listed && !strings.Contains(strings.Join(limits, "\n"), s.Clause) {
			fault("clause %q is in no table", s.Clause)
		}
		if s.Formula != "" {
			in := map[string]float64{}
			for _, v := range s.Values {
				in[v.Symbol] = v.Value * inNewtonsAndMillimetres[v.Unit]
				if before, ok := values[v.Symbol]; !ok || before != v.Value {
					fault("%s = %v is put in, %v stands before", v.Symbol, v.Value, before)
				}
			}
			got, err := evaluate(s.Formula, in)
			switch want := s.Value * scale; {
			case err != nil:
				fault("%v", err)
			case math.Abs(got-want) > 1e-6*math.Abs(want)+1e-12:
				fault("gives %v of %v, the step says %v", got, s.Values, want)
			}
		}
		values[s.Symbol] = s.Value
	}
	return errors.Join(wrong...)
}

// checkNoted holds what a check noted of a state of the section to the same, without what
// only a barrier knows.
func checkNoted(r *Recorder, s *analysis.State) error {
	c := &run{}
	f := &finding{id: "test", placed: analysis.Placed{State: *s}}
	trail := Trail{ID: "check", Element: "tube", Steps: slices.Concat(usedBy(r.Steps, c.forcesOf(f)), r.Steps)}
	putIn(trail.Steps)
	for i := range trail.Steps {
		trail.Steps[i].Provenance = c.knownBy(f, &trail.Steps[i])
	}
	return checkSteps(&trail)
}

// Every step of every check of every example can be followed with a pocket calculator.
func TestEveryStepCanBeFollowed(t *testing.T) {
	files, err := filepath.Glob("../../testdata/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".toml"), func(t *testing.T) {
			t.Parallel()
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			d, err := barrier.Parse(file, data)
			if err != nil {
				t.Fatal(err)
			}
			holdFollowed(t, d, "", "")
		})
	}
}
