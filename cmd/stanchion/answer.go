package main

import (
	"context"
	"fmt"
	"io"
	"runtime/debug"
)

// foundAnswer is what became of a call that answers for one file.
type foundAnswer struct {
	code   int
	output []byte
	err    error // ends the call
}

// answering is a call that answers for one file: where the answer goes, and what a message calls it.
type answering struct {
	file, output, what string
	bar                *progress // nil for none
}

// answer works the answer out, writes it whole and ends with its code, or at once where the call is
// interrupted.
func (a *answering) answer(ctx context.Context, stdout io.Writer, find func() foundAnswer) error {
	if err := writable(a.output, a.file); err != nil {
		return wrong(err)
	}
	found := make(chan foundAnswer, 1) // nobody may be waiting any more
	go func() { found <- a.caught(find) }()
	var f foundAnswer
	select {
	case f = <-found:
	case <-ctx.Done():
	}
	if a.bar != nil {
		a.bar.erase()
	}
	switch {
	case ctx.Err() != nil:
		return interrupted()
	case f.err != nil:
		return f.err
	}
	if err := handOver(a.output, f.output, a.what, stdout); err != nil || f.code == exitPass {
		return err
	}
	return &ending{code: f.code}
}

// caught is what is found, a bug in the program among it.
func (a *answering) caught(find func() foundAnswer) (f foundAnswer) {
	defer func() {
		if bug := recover(); bug != nil {
			f = foundAnswer{err: noReport(a.file, fmt.Errorf("bug in the program: %v\n%s", bug, debug.Stack()))}
		}
	}()
	return find()
}
