// Command mutate shows that the tests hold the formulas of the engine: it spoils one after the
// other in a copy of the tree, runs the tests that should notice, and tells which did.
//
//	go run ./.ci/mutate                    all mutations of .ci/mutations.toml, one at a time
//	go run ./.ci/mutate --only solver-     those whose id begins so, several by commas
//	go run ./.ci/mutate --applies          only whether each still finds its text
//
// Nothing of the tree is changed: what is spoilt lies over it while tests are built (go help build,
// -overlay), and they run in a copy. A mutation inside a function costs no build of its own: a spoilt
// copy of the function stands beside it, and an environment variable says which of all copies stands
// in for its function, so one build of a package's tests serves every mutation of a folder. What is
// spoilt elsewhere, a constant or a table, is built by itself.
//
// It ends with 1 where a mutation is not found or does not compile, where one survives that is not
// told to be equivalent, or one is killed that is.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	err := run(ctx)
	stop()
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutate:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context) error {
	applies := flag.Bool("applies", false, "only tell whether each mutation finds its text")
	only := flag.String("only", "", "beginnings of ids, by commas; empty: all")
	flag.Parse()

	top, err := output(exec.CommandContext(ctx, "git", "rev-parse", "--show-toplevel"))
	if err != nil {
		return err
	}
	root := strings.TrimSpace(top)
	l, err := read(filepath.Join(root, ".ci", "mutations.toml"))
	if err != nil {
		return err
	}
	l.Mutations = slices.DeleteFunc(l.Mutations, func(m mutation) bool { return !m.chosen(*only) })
	if len(l.Mutations) == 0 {
		return fmt.Errorf("no mutation has an id that begins with %q", *only)
	}
	if *applies {
		return tellApplies(root, l.Mutations)
	}
	t, err := newTree(ctx, root)
	if err != nil {
		return err
	}
	return errors.Join(t.try(ctx, l), t.remove())
}

// tellApplies tells which mutations no longer find their text.
func tellApplies(root string, mutations []mutation) error {
	missing := 0
	for i := range mutations {
		m := &mutations[i]
		source, err := os.ReadFile(filepath.Join(root, m.File))
		if err == nil {
			_, _, err = m.spoil(string(source))
		}
		if err != nil {
			missing++
			fmt.Printf("%s: %v\n", m.ID, err)
		}
	}
	fmt.Printf("%d mutations, %d do not apply\n", len(mutations), missing)
	if missing > 0 {
		return errors.New("mend .ci/mutations.toml: take the text as it stands now")
	}
	return nil
}

// try spoils one formula after the other and tells what became of each.
func (t *tree) try(ctx context.Context, l *list) error {
	counts, unexpected := map[fate]int{}, 0
	for _, group := range l.groups() {
		woven, err := t.weave(ctx, group)
		if err != nil {
			return err
		}
		for _, m := range group {
			begun := time.Now()
			became, by, err := t.attempt(ctx, l, m, woven)
			if err != nil {
				return err
			}
			switch {
			case became == survived && m.Equivalent != "":
				became, by = equivalent, m.Equivalent
			case became != killed || m.Equivalent != "":
				unexpected++
			}
			counts[became]++
			fmt.Printf("%-32s %-16s %4.0f s  %s\n    %s: %s\n", m.ID, became, time.Since(begun).Seconds(), by, m.File, m.Means)
		}
	}
	fmt.Printf("\n%d mutations: %d killed, %d equivalent, %d survived, %d do not apply, %d do not compile, %d with tests that fail unspoilt\n",
		len(l.Mutations), counts[killed], counts[equivalent], counts[survived], counts[notThere], counts[notGo], counts[unsound])
	if unexpected > 0 {
		return fmt.Errorf("%d mutations are not as they should be", unexpected)
	}
	return nil
}

// attempt tries a mutation: its own test, then wider ones.
func (t *tree) attempt(ctx context.Context, l *list, m *mutation, woven *overlay) (became fate, by string, err error) {
	over := woven
	if !woven.holds[m.ID] {
		source, err := t.source(m.File)
		if err != nil {
			return notThere, err.Error(), nil
		}
		spoilt, _, err := m.spoil(source)
		if err != nil {
			return notThere, err.Error(), nil
		}
		if over, err = t.lay(map[string]string{m.File: spoilt}); err != nil {
			return "", "", err
		}
		defer over.remove()
	}
	became, by, noticed := t.given(ctx, over, append([]tests{{m.In, m.Test, false}}, wider(l, m)...), m.ID)
	if ctx.Err() != nil {
		return "", "", ctx.Err()
	}
	if became == killed {
		if err := t.passesSound(ctx, woven, noticed); err != nil {
			return unsound, err.Error(), nil
		}
	}
	return became, by, nil
}

// given gives a mutation to tests, one after the other, until one notices.
func (t *tree) given(ctx context.Context, over *overlay, all []tests, id string) (became fate, by string, noticed tests) {
	for i, of := range all {
		became, by = t.test(ctx, over, of, id)
		switch {
		case became == survived:
			continue
		case became == killed && i > 0:
			by += ", of the wider tests"
		}
		return became, by, of
	}
	return survived, "", tests{}
}

// wider returns the tests of whole packages that a mutation is given to when its own lets it pass.
func wider(l *list, m *mutation) (out []tests) {
	for _, folder := range l.Wider[filepath.Dir(m.File)] {
		out = append(out, tests{in: folder, short: true})
	}
	return out
}
