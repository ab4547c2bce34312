package main

import (
	"errors"
	"fmt"
	"io"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
)

// Exit codes.
const (
	exitPass        = 0   // every check passes
	exitFail        = 1   // a check fails
	exitWrong       = 2   // the input or the call is wrong
	exitUntrusted   = 3   // the calculation could not be trusted
	exitIncomplete  = 4   // nothing failed, something is unchecked
	exitInterrupted = 130 // ended by an interrupt
)

// exitCodes is what the help texts say of them.
const exitCodes = `Exit codes:
  0    pass
  1    a check fails
  2    the input or the call is wrong
  3    the calculation could not be trusted
  4    incomplete: nothing failed, something is unchecked
  130  interrupted
With several files the code is that of the worst, in the order 2, 3, 1, 4, 0.`

// ending ends a command with an exit code. A nil error says that all there is
// to say has been said.
type ending struct {
	code int
	err  error
}

func (e *ending) Error() string {
	if e.err == nil {
		return "ended"
	}
	return e.err.Error()
}

func (e *ending) Unwrap() error { return e.err }

// tell says why a command ends. Problems of a definition say themselves where they are.
func (e *ending) tell(stderr io.Writer) {
	if problems, ok := errors.AsType[barrier.Problems](e.err); ok {
		fmt.Fprintln(stderr, problems)
		return
	}
	fmt.Fprintf(stderr, "stanchion: %v\n", e.err)
}

// wrong ends a command whose call or input is at fault.
func wrong(err error) error { return &ending{exitWrong, err} }

// exitCode is the code of a verdict. A verdict that is not known is not a pass.
func exitCode(status check.Status) int {
	switch status {
	case check.Pass:
		return exitPass
	case check.Fail:
		return exitFail
	case check.Incomplete:
		return exitIncomplete
	}
	return exitUntrusted
}

// worstFirst orders the codes of several files.
var worstFirst = [...]int{exitWrong, exitUntrusted, exitFail, exitIncomplete, exitPass}

// worse returns the worse of two codes.
func worse(a, b int) int {
	for _, code := range worstFirst {
		if a == code || b == code {
			return code
		}
	}
	return a
}
