package source

import (
	"gopkg.in/yaml.v3"

	"patchfirst/rules"
)

func (r *reader) coefficient(o *Object) {
	c := &rules.Coefficient{ID: o.Text("coefficient"), Is: o.Need("is"), Say: o.Text("say"), Sources: r.sources(o), Pos: o.Doc.Pos(o.Node)}
	r.base.Coefficients = append(r.base.Coefficients, c)
	r.later = append(r.later, func() {
		c.Of = 1<<len(r.base.Methods) - 1
		if o.Get("of") != nil {
			c.Of = r.methods(o, "of")
		}
		c.Where = r.where(o)
	})
}

// where reads {fact: [values or groups]}.
func (r *reader) where(o *Object) map[string][]string {
	n := o.Get("where")
	if n == nil {
		return nil
	}
	if n.Kind != yaml.MappingNode {
		o.Doc.Fail(n, "Write where: {fact: [values]}.", "where names facts and their values")
		return nil
	}
	where := map[string][]string{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		f := r.base.Fact(n.Content[i].Value)
		if f == nil || f.Kind == rules.Number {
			o.Doc.Fail(n.Content[i], r.base.DidYouMean(n.Content[i].Value), "there is no question with values named %q", n.Content[i].Value)
			continue
		}
		values, unknown := r.base.Values(f, o.Doc.Texts(n.Content[i+1], f.ID))
		for _, u := range unknown {
			o.Doc.Fail(n.Content[i+1], f.DidYouMean(u), "%q is not a value of %q", u, f.ID)
		}
		where[f.ID] = values
	}
	return where
}
