package main

import (
	"os"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// limited is the name under which this test is the program, allowed to write files of only so many bytes: the number in
// the environment variable of the same name.
const limited = "patchfirst-limited"

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"patchfirst": main, limited: func() {
		bytes, err := strconv.ParseUint(os.Getenv(limited), 10, 64)
		if err == nil {
			err = syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: bytes, Max: bytes})
		}
		if err != nil {
			panic(err)
		}
		main()
	}})
}

func TestScripts(t *testing.T) {
	repo, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(env *testscript.Env) error {
			env.Setenv("REPO", repo)
			return nil
		},
		UpdateScripts: os.Getenv("UPDATE_SCRIPTS") != "",
	})
}
