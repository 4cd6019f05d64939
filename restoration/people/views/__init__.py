"""Pages about people."""

from restoration.people.views.invitations import invitation, invite
from restoration.people.views.people import me, person_add, person_detail, person_list
from restoration.people.views.roles import role_end, role_give, roles

__all__ = ["invitation", "invite", "me", "person_add", "person_detail", "person_list", "role_end", "role_give", "roles"]
