"""Signing in: ask for a code, type it, and show again that it is you before passkeys are changed."""

import time
from typing import Any

from allauth.account.adapter import get_adapter
from allauth.account.forms import BaseConfirmCodeForm
from allauth.account.internal.flows.login import record_authentication
from allauth.account.views import BaseReauthenticateView, ConfirmLoginCodeView, RequestLoginCodeView
from allauth.core import ratelimit
from django import forms
from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.urls import reverse

from restoration.people.adapter import OWN_DEVICE, TRIED_TOO_OFTEN
from restoration.people.sign_in_forms import CodeForm

NOT_SENT = "The letter could not be sent just now. Try again in some minutes."
CODE_SENT = "code_to_sign_in_again"


class SaysWhatIsWrong:
    """A form that was not understood comes back with status 422, as everywhere on this site."""

    def form_invalid(self, form: forms.Form) -> HttpResponseBase:
        response: HttpResponseBase = super().form_invalid(form)  # type: ignore[misc]
        if response.status_code == 200:
            response.status_code = 422
        return response


class SignInView(SaysWhatIsWrong, RequestLoginCodeView):
    """Asks for the address; the answer is the same whether or not anyone is known by it."""

    template_name = "account/login.html"

    def form_valid(self, form: forms.Form) -> HttpResponseBase:
        """Remember whose device it is until the code is typed."""
        self.request.session[OWN_DEVICE] = form.cleaned_data["own_device"]
        try:
            return super().form_valid(form)
        except OSError:  # also what a mail server refuses
            form.add_error(None, NOT_SENT)
            return self.form_invalid(form)

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        """Tell the page whether it may offer the cast of the demonstration."""
        return super().get_context_data(**kwargs) | {"is_demo": settings.DEMO}


class ConfirmCodeView(SaysWhatIsWrong, ConfirmLoginCodeView):
    """Asks for the code from the letter."""

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        """Look at the code, or send another; say so where the letter cannot go."""
        try:
            return super().post(request, *args, **kwargs)
        except OSError:  # also what a mail server refuses
            messages.error(request, NOT_SENT)
            return redirect("account_confirm_login_code")


class SignInAgainView(SaysWhatIsWrong, BaseReauthenticateView):
    """Sends a fresh code to the person's own address and asks for it."""

    template_name = "account/reauthenticate.html"
    form_class = CodeForm

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        """Send a code where that was asked for; otherwise look at the one typed."""
        if request.POST.get("action") == "send":
            return self._send()
        return super().post(request, *args, **kwargs)

    def get_form_kwargs(self) -> dict[str, Any]:
        return super().get_form_kwargs() | {"code": self._code()}

    def form_valid(self, form: BaseConfirmCodeForm) -> HttpResponse:
        """The same person, shown again."""
        self.request.session.pop(CODE_SENT, None)
        record_authentication(
            self.request, self.request.user, method="code", email=self.request.user.email, reauthenticated=True
        )
        return super().form_valid(form)

    def form_invalid(self, form: BaseConfirmCodeForm) -> HttpResponseBase:
        """Count the tries; a code that was guessed at too often is worth nothing."""
        sent = self.request.session.get(CODE_SENT)
        if sent:
            self.request.session[CODE_SENT] = sent | {"tries": sent["tries"] + 1}
        return super().form_invalid(form)

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        return super().get_context_data(**kwargs) | {"code_sent": bool(self._code())}

    def _code(self) -> str:
        sent = self.request.session.get(CODE_SENT) or {"tries": 0, "at": 0, "code": ""}
        is_fresh = time.time() - sent["at"] < settings.ACCOUNT_LOGIN_BY_CODE_TIMEOUT
        return sent["code"] if is_fresh and sent["tries"] < settings.ACCOUNT_LOGIN_BY_CODE_MAX_ATTEMPTS else ""

    def _send(self) -> HttpResponse:
        adapter, email = get_adapter(), self.request.user.email
        if not ratelimit.consume(self.request, action="request_login_code", key=email):
            form = self.get_form_class()()
            return self.render_to_response(self.get_context_data(form=form, refused=TRIED_TOO_OFTEN), status=429)
        code = adapter.generate_login_code()
        self.request.session[CODE_SENT] = {"code": code, "at": time.time(), "tries": 0}
        try:
            adapter.send_mail("account/email/login_code", email, {"code": code})
        except OSError:  # also what a mail server refuses
            form = self.get_form_class()()
            return self.render_to_response(self.get_context_data(form=form, refused=NOT_SENT), status=503)
        return redirect(self.passthrough_next_url(reverse("account_reauthenticate")))


sign_in = SignInView.as_view()
confirm_code = ConfirmCodeView.as_view()
sign_in_again = SignInAgainView.as_view()
