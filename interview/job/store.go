package job

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"syscall"

	"patchfirst/rules"
	"patchfirst/rules/source"
)

// BusyError says that another program has the file.
type BusyError struct{ Path string }

func (e *BusyError) Error() string {
	return e.Path + " is open in another patchfirst: close that one first"
}

// Lock takes a file for one program at a time; it need not exist yet. release gives it back.
func Lock(path string) (release func() error, err error) {
	for {
		lock, err := os.OpenFile(path+".lock", os.O_CREATE|os.O_RDWR, 0o644)
		if err != nil {
			return nil, writeError(path, err)
		}
		if err := syscall.Flock(int(lock.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
			lock.Close()
			return nil, &BusyError{path}
		}
		// Whoever had the lock before may have taken the file away between the two calls: then this lock holds nothing.
		held, err := lock.Stat()
		if there, statErr := os.Stat(path + ".lock"); err == nil && statErr == nil && os.SameFile(held, there) {
			return func() error {
				os.Remove(lock.Name())
				return lock.Close()
			}, nil
		}
		lock.Close()
	}
}

// Replace replaces a file whole: it writes a new one beside it, syncs it, renames it and syncs the folder. A reader, or a
// machine that stops, finds the old file or the new one and never a part. Only one program at a time may replace a file;
// see Lock. What one that was killed left behind is written over.
func Replace(path string, data []byte) error {
	unfinished := filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".new")
	err := write(unfinished, data)
	if err == nil {
		err = os.Rename(unfinished, path)
	}
	if err != nil {
		os.Remove(unfinished)
		return writeError(path, err)
	}
	return syncFolder(filepath.Dir(path))
}

func write(path string, data []byte) error {
	os.Remove(path)
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Chmod(0o644)
	}
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

// syncFolder makes a rename outlast a machine that stops. Some file systems cannot sync a folder, and need not.
func syncFolder(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return writeError(path, err)
	}
	defer f.Close()
	if err := f.Sync(); err != nil && !errors.Is(err, syscall.EINVAL) && !errors.Is(err, syscall.ENOTSUP) {
		return writeError(path, err)
	}
	return nil
}

// Store is a job file held by one program at a time. It is replaced whole at each save.
type Store struct {
	path    string
	base    *rules.Base
	release func() error
}

// Open takes the lock of a job file, which need not exist yet. Close gives it back.
func Open(b *rules.Base, path string) (*Store, error) {
	release, err := Lock(path)
	if err != nil {
		return nil, err
	}
	return &Store{path: path, base: b, release: release}, nil
}

// Close gives the lock back.
func (s *Store) Close() error { return s.release() }

// Exists reports whether there is a job file.
func (s *Store) Exists() bool {
	_, err := os.Stat(s.path)
	return err == nil
}

// Load reads the job.
func (s *Store) Load() (*Job, error) { return ReadFile(s.base, s.path, nil) }

// Save replaces the job file.
func (s *Store) Save(j *Job) error {
	data, err := j.Marshal(s.base)
	if err != nil {
		return err
	}
	if len(data) > source.MaxBytes {
		return fmt.Errorf("%s would be larger than %d MB, and could not be read again: begin a new job file", s.path, source.MaxBytes>>20)
	}
	return Replace(s.path, data)
}

func writeError(path string, err error) error {
	switch {
	case errors.Is(err, os.ErrPermission):
		return fmt.Errorf("%s may not be written by this user: choose another place", path)
	case errors.Is(err, os.ErrNotExist):
		return fmt.Errorf("there is no folder %s to write %s in", filepath.Dir(path), filepath.Base(path))
	case errors.Is(err, syscall.ENOSPC):
		return fmt.Errorf("the disk is full: %s was not changed", path)
	}
	return fmt.Errorf("%s cannot be written: %w", path, err)
}
