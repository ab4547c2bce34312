package main

import (
	"context"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// selected is the variable, in every package with a spoilt copy, that holds the id of the mutation
// under test.
const (
	selected    = "mutationUnderTest"
	environment = "STANCHION_MUTATION"
)

// clone is a spoilt copy of a function, as it is woven into a file.
type clone struct {
	id   string
	text string // of the copy
	at   int    // where the function's body begins
	call string // what stands there
	from int    // lines of the copy in the woven file
	to   int
}

// weave returns an overlay with the spoilt copy of each function beside it. Mutations that are not in
// a function, or whose copy does not compile, are not in it. All are tested by one package.
func (t *tree) weave(ctx context.Context, mutations []*mutation) (*overlay, error) {
	sources, clones := map[string]string{}, map[string][]*clone{}
	for _, m := range mutations {
		source, err := t.source(m.File)
		if err != nil {
			continue // told when it is tried
		}
		if c := m.clone(source); c != nil {
			sources[m.File], clones[m.File] = source, append(clones[m.File], c)
		}
	}
	for {
		files := map[string]string{}
		for file, of := range clones {
			text, variable, err := woven(file, sources[file], of)
			if err != nil {
				return nil, err
			}
			files[file], files[path.Join(path.Dir(file), "mutation_selected.go")] = text, variable
		}
		o, err := t.lay(files)
		if err != nil {
			return nil, err
		}
		_, said, err := t.program(ctx, o, mutations[0].In)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err == nil {
			for _, of := range clones {
				for _, c := range of {
					o.holds[c.id] = true
				}
			}
			return o, nil
		}
		if dropFaulty(clones, faultsIn(said)) == 0 {
			return nil, fmt.Errorf("what is woven does not compile: %s", said)
		}
	}
}

// woven returns a file with its clones, and one with the variable that selects among them.
func woven(file, source string, clones []*clone) (text, variable string, err error) {
	byPlace := slices.Clone(clones)
	slices.SortStableFunc(byPlace, func(a, b *clone) int { return b.at - a.at })
	for _, c := range byPlace {
		source = source[:c.at] + c.call + source[c.at:]
	}
	for _, c := range clones {
		c.from = 1 + strings.Count(source, "\n")
		source += "\n" + c.text + "\n"
		c.to = 1 + strings.Count(source, "\n")
	}
	parsed, err := parser.ParseFile(token.NewFileSet(), file, source, parser.PackageClauseOnly)
	if err != nil {
		return "", "", err
	}
	return source, fmt.Sprintf("package %s\n\nimport \"os\"\n\nvar %s = os.Getenv(%q)\n", parsed.Name.Name, selected, environment), nil
}

// clone returns the spoilt copy of the function in which a mutation stands; nil where there is none
// or its parameters have no names to hand on.
func (m *mutation) clone(source string) *clone {
	spoilt, at, err := m.spoil(source)
	if err != nil || !strings.HasSuffix(m.File, ".go") {
		return nil
	}
	files := token.NewFileSet()
	parsed, err := parser.ParseFile(files, m.File, source, parser.SkipObjectResolution)
	if err != nil {
		return nil
	}
	for _, d := range parsed.Decls {
		f, isFunction := d.(*ast.FuncDecl)
		if !isFunction || f.Body == nil {
			continue
		}
		offset := func(p token.Pos) int { return files.Position(p).Offset }
		if at <= offset(f.Body.Lbrace) || at+len(m.Old) > offset(f.Body.Rbrace) {
			continue
		}
		arguments, ok := handedOn(f)
		if !ok {
			return nil
		}
		name := f.Name.Name + "Spoilt" + strings.Map(func(r rune) rune {
			if unicode.IsLetter(r) || unicode.IsDigit(r) {
				return r
			}
			return '_'
		}, m.ID)
		from, nameEnd, to := offset(f.Pos()), offset(f.Name.End()), offset(f.End())+len(spoilt)-len(source)
		call := name + "(" + strings.Join(arguments, ", ") + ")"
		if f.Recv != nil {
			call = f.Recv.List[0].Names[0].Name + "." + call
		}
		if f.Type.Results == nil {
			call += "; return"
		} else {
			call = "return " + call
		}
		return &clone{
			id: m.ID, text: spoilt[from:offset(f.Name.Pos())] + name + spoilt[nameEnd:to], at: offset(f.Body.Lbrace) + 1,
			call: fmt.Sprintf(" if %s == %q { %s };", selected, m.ID, call),
		}
	}
	return nil
}

// handedOn returns the names of a function's parameters as they are handed on; not ok where one has
// none, or the receiver, or where types are parameters too.
func handedOn(f *ast.FuncDecl) (arguments []string, ok bool) {
	named := func(n *ast.Ident) bool { return n.Name != "_" }
	if r := f.Recv; r != nil && (len(r.List[0].Names) == 0 || !named(r.List[0].Names[0])) || f.Type.TypeParams != nil {
		return nil, false
	}
	for _, p := range f.Type.Params.List {
		if len(p.Names) == 0 {
			return nil, false
		}
		for _, n := range p.Names {
			if !named(n) {
				return nil, false
			}
			argument := n.Name
			if _, isVariadic := p.Type.(*ast.Ellipsis); isVariadic {
				argument += "..."
			}
			arguments = append(arguments, argument)
		}
	}
	return arguments, true
}

// fault is a line that does not compile.
type fault struct {
	file string
	line int
}

var faultyLine = regexp.MustCompile(`(?m)^(\S+\.go):(\d+):`)

// faultsIn returns the lines that do not compile by what the compiler said.
func faultsIn(said string) (faults []fault) {
	for _, found := range faultyLine.FindAllStringSubmatch(said, -1) {
		line, _ := strconv.Atoi(found[2]) // digits
		faults = append(faults, fault{path.Clean(filepath.ToSlash(found[1])), line})
	}
	return faults
}

// dropFaulty drops the clones that do not compile, and returns how many.
func dropFaulty(clones map[string][]*clone, faults []fault) (dropped int) {
	for file, of := range clones {
		clones[file] = slices.DeleteFunc(of, func(c *clone) bool {
			return slices.ContainsFunc(faults, func(at fault) bool {
				return strings.HasSuffix(at.file, file) && c.from < at.line && at.line <= c.to
			})
		})
		if dropped += len(of) - len(clones[file]); len(clones[file]) == 0 {
			delete(clones, file)
		}
	}
	return dropped
}
