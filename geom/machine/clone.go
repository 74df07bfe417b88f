package machine

import "slices"

// Clone returns a deep copy of the card.
func (c *Card) Clone() *Card {
	own := *c
	if c.Swivel != nil {
		swivel := *c.Swivel
		swivel.Range = copied(swivel.Range)
		own.Swivel = &swivel
	}
	own.Rotary = slices.Clone(c.Rotary)
	for i := range own.Rotary {
		own.Rotary[i].Range = copied(own.Rotary[i].Range)
	}
	own.Linear = copied(c.Linear)
	own.Head.Profile = slices.Clone(c.Head.Profile)
	own.Head.Boxes = slices.Clone(c.Head.Boxes)
	own.Obstacles = slices.Clone(c.Obstacles)
	return &own
}

func copied[T any](p *T) *T {
	if p == nil {
		return nil
	}
	own := *p
	return &own
}
