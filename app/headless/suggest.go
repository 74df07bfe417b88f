package headless

import (
	"context"
	"errors"
	"io"

	"conewright/geom/job"
)

var errNoSuggestions = errors.New("-suggest: this version can't suggest plans yet: set the zones in the job")

func suggestPlans(context.Context, *job.Setup, Args, io.Writer) error { return errNoSuggestions }
