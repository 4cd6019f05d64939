"""Addresses of signing in, under the names that the sign-in library itself looks for."""

from allauth.account import views as account
from allauth.mfa.webauthn import views as passkeys
from django.urls import path
from django.views.generic import RedirectView

from restoration.people import sign_in_views as own

urlpatterns = [
    path("", own.sign_in, name="account_login"),
    path("code/", own.sign_in, name="account_request_login_code"),
    path("code/confirm/", own.confirm_code, name="account_confirm_login_code"),
    path("out/", account.logout, name="account_logout"),
    path("by-invitation/", account.signup, name="account_signup"),
    path("left/", account.account_inactive, name="account_inactive"),
    path("again/", own.sign_in_again, name="account_reauthenticate"),
    path("passkey/", passkeys.login_webauthn, name="mfa_login_webauthn"),
    path("passkeys/", passkeys.list_webauthn, name="mfa_list_webauthn"),
    path("passkeys/all/", RedirectView.as_view(pattern_name="mfa_list_webauthn"), name="mfa_index"),
    path("passkeys/add/", passkeys.add_webauthn, name="mfa_add_webauthn"),
    path("passkeys/again/", passkeys.reauthenticate_webauthn, name="mfa_reauthenticate_webauthn"),
    path("passkeys/<int:pk>/", passkeys.edit_webauthn, name="mfa_edit_webauthn"),
    path("passkeys/<int:pk>/remove/", passkeys.remove_webauthn, name="mfa_remove_webauthn"),
]
