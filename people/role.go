package people

import "slices"

// Role is what somebody is in the firm. The empty role is nobody's and has no rights but Anyone.
type Role string

// The roles. A customer comes by a link to one job and has no account.
const (
	Owner     Role = "owner"
	Estimator Role = "estimator"
	Crew      Role = "crew"
	Customer  Role = "customer"
)

// Roles are those that an account can have, the greatest first.
var Roles = []Role{Owner, Estimator, Crew}

// Covers reports whether a role has every right that another has, so that it may be lent.
func (r Role) Covers(other Role) bool {
	for _, row := range table {
		if slices.Contains(row.roles, other) && !slices.Contains(row.roles, r) {
			return false
		}
	}
	return other != ""
}
