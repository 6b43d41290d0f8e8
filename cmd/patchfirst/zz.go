package main

import (
	"fmt"
	"os"
	"time"

	"patchfirst/knowledge"
	"patchfirst/rules"
	"patchfirst/rules/cases"
)

func main() {
	b, err := knowledge.Load(os.Getenv("BASE"))
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	cs, err := cases.ReadFS(b, os.DirFS("testdata/cases"), "testdata/cases")
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	n := 0
	for i := range cs {
		t := time.Now()
		f, err := cases.Run(b, &cs[i], func(a rules.Answers) rules.Answers { return knowledge.WithFigures(b, a) })
		if d := time.Since(t); d > 100*time.Millisecond {
			fmt.Println(d, cs[i].Title)
		}
		if err != nil {
			fmt.Println(cs[i].Title, err)
		}
		for _, x := range f {
			fmt.Println(x)
		}
		if len(f) > 0 {
			n++
		}
	}
	fmt.Println(n, "of", len(cs), "failed")
}
