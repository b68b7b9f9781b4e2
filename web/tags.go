package web

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"
)

// Changed is what the head of a change may say of the state that it is based on.
type Changed struct {
	IfMatch string `header:"If-Match" doc:"The job's ETag as the asker knows it: where it has moved on, the answer is 412"`
}

// Seen is what the head of a question may say of what the asker has.
type Seen struct {
	IfNoneMatch string `header:"If-None-Match" doc:"The ETag of what the asker has: where it is still that, the answer is 304"`
}

// tagOf names a job as it stands, by the number of its newest state; one that is retired is another thing to look at.
func tagOf(seq int, retired bool) string {
	if retired {
		return fmt.Sprintf(`"%d-retired"`, seq)
	}
	return fmt.Sprintf(`"%d"`, seq)
}

// matches reports whether one of the tags of an If-None-Match is this one. A weak tag matches too: what is given here is the same
// byte for byte or another.
func matches(list, tag string) bool {
	for one := range strings.SplitSeq(list, ",") {
		one = strings.TrimSpace(one)
		if one == "*" || strings.TrimPrefix(one, "W/") == tag {
			return true
		}
	}
	return false
}

// basedOn is the number of the state that a change is based on: as its head says it or its body, which must not differ. 0 is the
// newest, whatever it is.
func (q Changed) basedOn(body int) (int, error) {
	if q.IfMatch == "" || q.IfMatch == "*" {
		return body, nil
	}
	number, _ := strings.CutSuffix(strings.Trim(strings.TrimPrefix(q.IfMatch, "W/"), `"`), "-retired")
	seq, err := strconv.ParseUint(number, 10, 31)
	switch {
	case err != nil || seq == 0:
		return 0, asked("header", "If-Match", "Send the ETag that came with the job, or *", "%q names no state of a job", q.IfMatch)
	case body != 0 && body != int(seq):
		return 0, asked("header", "If-Match", "Send one of both, or both alike", "it names state %d and based_on state %d", seq, body)
	}
	return int(seq), nil
}

// failed is a refusal of a change that is based on what is no longer the newest: 412 where the head said so, as HTTP has it.
func (q Changed) failed(p *problem) *problem {
	if q.IfMatch != "" {
		p.status = http.StatusPreconditionFailed
	}
	return p
}
