package explain

import (
	"errors"
	"fmt"
	"io"
)

// ExplanationSchema names the form of explanations as data; it changes when a field changes its meaning or goes away.
const ExplanationSchema = "patchfirst/explanation/1"

// Request is what is asked about the advice on a part. Without Next or Compare it asks why; with If and nothing named,
// what would move.
type Request struct {
	What    []string // ids; of methods for Compare
	If      []string // other answers, as fact=value
	Next    bool
	Compare bool
	Graph   string // of why: svg or dot instead of text
	Width   int
}

// Reply is the answer to a request, for people and as data.
type Reply struct {
	text func(io.Writer) error
	data explanation
}

// explanation holds one of Why, WhatIf, Next and Compare.
type explanation struct {
	Schema  string     `json:"schema"`
	Base    jsonBase   `json:"base"`
	Part    string     `json:"part"`
	Why     []*Why     `json:"why,omitempty"`
	WhatIf  *WhatIf    `json:"what_if,omitempty"`
	Next    []Worth    `json:"next,omitempty"`
	Compare []Compared `json:"compare,omitempty"`
}

// Text writes the reply for people.
func (r *Reply) Text(w io.Writer) error { return r.text(w) }

// Data returns the reply to be written as JSON.
func (r *Reply) Data() any { return r.data }

// Ask answers a request.
func (x *Explainer) Ask(r Request) (*Reply, error) {
	part := x.part.Element.Name
	reply := &Reply{data: explanation{Schema: ExplanationSchema, Base: jsonBase{x.base.Version, x.base.Digest}, Part: part}}
	asked := 0
	for _, one := range []bool{len(r.If) > 0 && len(r.What) == 0, r.Next, r.Compare, r.Graph != ""} {
		if one {
			asked++
		}
	}
	if asked > 1 {
		return nil, errors.New("--if, --next, --compare and --graph answer different questions: ask one at a time")
	}
	var err error
	switch {
	case r.Next:
		if len(r.What) > 0 {
			return nil, fmt.Errorf("%q is one too many: --next speaks of the whole part", r.What[0])
		}
		next := Next(x.base, x.part.Decision)
		reply.data.Next = next
		reply.text = func(w io.Writer) error { return NextText(w, x.base, part, next, r.Width) }
	case len(r.If) > 0 && len(r.What) > 0:
		if x, err = x.If(r.If); err == nil {
			err = x.why(reply, r)
		}
	case len(r.If) > 0:
		reply.data.WhatIf, err = x.WhatIf(r.If)
		reply.text = func(w io.Writer) error { return reply.data.WhatIf.Text(w, x.base, r.Width) }
	case r.Compare:
		reply.data.Compare, err = x.Compare(r.What)
		reply.text = func(w io.Writer) error { return CompareText(w, x.base, part, reply.data.Compare, r.Width) }
	default:
		err = x.why(reply, r)
	}
	if err != nil {
		return nil, err
	}
	return reply, nil
}

func (x *Explainer) why(reply *Reply, r Request) error {
	what := r.What
	if len(what) == 0 {
		what = []string{""}
	}
	for _, id := range what {
		why, err := x.Why(id)
		if err != nil {
			return err
		}
		reply.data.Why = append(reply.data.Why, why)
	}
	all := reply.data.Why
	switch r.Graph {
	case "":
		reply.text = func(w io.Writer) error {
			for i, why := range all {
				if i > 0 {
					if _, err := io.WriteString(w, "\n"); err != nil {
						return err
					}
				}
				if err := why.Text(w, x.base, r.Width); err != nil {
					return err
				}
			}
			return nil
		}
	case "svg":
		reply.text = all[0].SVG
	case "dot":
		reply.text = all[0].Dot
	default:
		return fmt.Errorf("there is no kind of drawing %q: write svg or dot", r.Graph)
	}
	if r.Graph != "" && len(all) > 1 {
		return errors.New("one drawing shows one thing: name one")
	}
	return nil
}
