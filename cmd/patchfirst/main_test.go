package main

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/santhosh-tekuri/jsonschema/v6"
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
		Cmds:          map[string]func(*testscript.TestScript, bool, []string){"schema": schema},
		UpdateScripts: os.Getenv("UPDATE_SCRIPTS") != "",
	})
}

// schema is the command "schema NAME FILE" of scripts: FILE, or stdout, is JSON that keeps to a schema of testdata/schema.
func schema(ts *testscript.TestScript, neg bool, args []string) {
	const usage = 2
	if len(args) != usage {
		ts.Fatalf("usage: schema NAME FILE")
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	s, err := c.Compile(filepath.Join(ts.Getenv("REPO"), "testdata", "schema", args[0]))
	ts.Check(err)
	value, err := jsonschema.UnmarshalJSON(strings.NewReader(ts.ReadFile(args[1])))
	ts.Check(err)
	switch err := s.Validate(value); {
	case neg && err == nil:
		ts.Fatalf("%s keeps to %s", args[1], args[0])
	case !neg && err != nil:
		ts.Fatalf("%s: %v", args[1], err)
	}
}
