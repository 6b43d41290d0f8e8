package interview

import (
	"context"
	"errors"
	"fmt"
	"slices"
)

// one asks for one of the options.
func (p *Rich) one(ctx context.Context, a *Ask) (Reply, error) {
	options := append([]Option{{chooseOne, "Choose one"}}, a.Options...)
	if a.List {
		options = append(options, Option{unknownID, notKnown})
	}
	if a.Or {
		options = append(options, Option{severalID, cannotTell})
	}
	chosen := chooseOne
	var several *Reply
	switch {
	case a.Before == nil:
	case len(a.Before.Values) == 1:
		chosen = a.Before.Values[0]
	case len(a.Before.Values) > 1 && a.Or:
		chosen, several = severalID, a.Before
	}
	act, err := p.run(ctx, a, "", selectOf(options, &chosen), func() error {
		switch chosen {
		case chooseOne:
			return errors.New("Move to one of them with the arrow keys, then press Enter.")
		case unknownID, severalID:
			return nil
		}
		return a.check(Reply{Values: []string{chosen}})
	})
	switch {
	case err != nil || act == Back:
		return Reply{Act: act}, err
	case chosen == unknownID:
		return Reply{Act: NotKnown}, nil
	case chosen == severalID:
		r, err := p.many(ctx, &Ask{Text: a.Text, Heading: a.Heading, Kind: Many, Options: a.Options, Help: "Mark all that it may be.", Before: several, Back: true, Trail: a.Trail, Why: a.Why, Check: func(r Reply) error {
			if len(r.Values) < 2 {
				return errors.New("Mark at least two.")
			}
			return a.check(r)
		}})
		if r.Act == Back {
			err = errAgain
		}
		return r, err
	}
	return Reply{Values: []string{chosen}}, nil
}

// many asks for any number of options, whose order does not matter.
func (p *Rich) many(ctx context.Context, a *Ask) (Reply, error) {
	options := slices.Clone(a.Options)
	if a.Unknown {
		options = append(options, Option{noneID, noneOfThese}, Option{moreID, othersThere})
	}
	if a.List {
		options = append(options, Option{unknownID, notKnown})
	}
	var chosen []string
	if a.Before != nil {
		chosen = slices.Clone(a.Before.Values)
		if a.Before.MoreAfter {
			chosen = append(chosen, moreID)
		}
		if len(chosen) == 0 {
			chosen = []string{noneID}
		}
	}
	reply := func() Reply {
		var r Reply
		for _, id := range chosen {
			switch id {
			case moreID:
				r.MoreAfter = true
			case noneID, unknownID:
			default:
				r.Values = append(r.Values, id)
			}
		}
		return r
	}
	act, err := p.run(ctx, a, "", multiSelectOf(options, &chosen), func() error {
		for _, alone := range []Option{{noneID, noneOfThese}, {unknownID, notKnown}} {
			if slices.Contains(chosen, alone.ID) && len(chosen) > 1 {
				return fmt.Errorf("%q stands alone: take its mark off, or the others.", alone.Label)
			}
		}
		if len(chosen) == 0 {
			return errors.New("Mark what fits with the space bar, then press Enter.")
		}
		return a.check(reply())
	})
	if err != nil || act == Back {
		return Reply{Act: act}, err
	}
	if slices.Contains(chosen, unknownID) {
		return Reply{Act: NotKnown}, nil
	}
	return reply(), nil
}
