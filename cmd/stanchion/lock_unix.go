//go:build unix && !aix && !solaris

package main

import (
	"errors"
	"os"
	"syscall"
)

// lock takes an open file for this process alone, until the file is closed or the process ends,
// however it ends. It reports false where another has it, and does not wait. It binds those that
// ask alone: everybody can read the file. Source: flock(2).
func lock(file *os.File) (bool, error) {
	for {
		err := syscall.Flock(int(file.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		switch {
		case errors.Is(err, syscall.EINTR):
		case errors.Is(err, syscall.EWOULDBLOCK):
			return false, nil
		default:
			return err == nil, err
		}
	}
}
