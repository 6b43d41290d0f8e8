package interview

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// inOrder asks for a list whose order matters, one after the other.
func (p *Rich) inOrder(ctx context.Context, a *Ask) (Reply, error) {
	var r Reply
	for {
		if a.Whole && len(r.Values) == len(a.Options) {
			return r, nil
		}
		options := append([]Option{{chooseOne, "Choose one"}}, a.Options...)
		help := fmt.Sprintf("First the first one, %s.", a.Order)
		if a.Order == outsideIn {
			help = "First the outermost coat."
		}
		if a.Whole {
			options = slices.DeleteFunc(options, func(o Option) bool { return slices.Contains(r.Values, o.ID) })
			help = fmt.Sprintf("Which comes as number %d, %s?", len(r.Values)+1, a.Order)
			if a.List && len(r.Values) == 0 {
				options = append(options, Option{unknownID, notKnown})
			}
		} else if len(r.Values) == 0 {
			options = append(options, Option{noneID, noneOfThese})
			if a.Before != nil {
				options = slices.Insert(options, 1, Option{keepID, "as before: " + a.Words})
			}
			if a.List {
				options = append(options, Option{unknownID, notKnown})
			}
		} else {
			var labels []string
			for _, v := range r.Values {
				labels = append(labels, label(a.Options, v))
			}
			help = fmt.Sprintf("So far, %s: %s. Which comes next?", a.Order, strings.Join(labels, ", then "))
			options = slices.Insert(options, 1, Option{endID, "nothing more: that is all of them"}, Option{moreID, othersThere + ", not known"})
		}
		chosen := chooseOne
		act, err := p.run(ctx, a, help, selectOf(options, &chosen), func() error {
			next := r
			switch chosen {
			case chooseOne:
				return errors.New("Move to one of them with the arrow keys, then press Enter.")
			case noneID, unknownID, keepID, endID, moreID:
			default:
				next.Values = append(slices.Clone(r.Values), chosen)
			}
			if a.Whole && (chosen == unknownID || len(next.Values) < len(a.Options)) {
				return nil
			}
			return a.check(next)
		})
		switch {
		case err != nil:
			return r, err
		case act == Back && len(r.Values) == 0:
			return Reply{Act: Back}, nil
		case act == Back:
			r.Values = r.Values[:len(r.Values)-1]
			continue
		}
		switch chosen {
		case keepID:
			return Reply{Act: Keep}, nil
		case unknownID:
			return Reply{Act: NotKnown}, nil
		case noneID, endID:
			return r, nil
		case moreID:
			r.MoreAfter = true
			return r, nil
		}
		r.Values = append(r.Values, chosen)
	}
}
