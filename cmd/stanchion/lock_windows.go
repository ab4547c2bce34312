package main

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lock takes an open file for this process alone, until the file is closed or the process ends,
// however it ends. It reports false where another has it, and does not wait. What is locked is one
// byte far beyond the end, for Windows keeps others from reading what is: everybody can read the
// file. Source: LockFileEx, Windows API.
func lock(file *os.File) (bool, error) {
	const how = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	err := windows.LockFileEx(windows.Handle(file.Fd()), how, 0, 1, 0, &windows.Overlapped{OffsetHigh: 1 << 30})
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return false, nil
	}
	return err == nil, err
}
