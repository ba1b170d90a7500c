"""What a Bokeh model is when nobody has told it anything, found once for a class and not for each model.

Reason: Bokeh asks this anew for every property of every model, when it is made, looked through and sent, and
works it out each time: what all base classes override, a copy, a check of the copy. For a page that is half
the server's work on the models. None of it depends on the model: it is a matter of the class.

This is the one mend that others feel, for it stands in the base class of all properties: what they get is
what they got before.
"""

from __future__ import annotations

from typing import Any

from bokeh.core.has_props import HasProps
from bokeh.core.property.descriptors import PropertyDescriptor

__all__ = ["forget_defaults", "remember_defaults"]

PLAIN = (str, int, float, bool, type(None))  # what cannot be changed can be handed out again
_NOTHING = object()

_may_differ: dict[tuple[type[HasProps], str], bool] = {}
_defaults: dict[tuple[type[HasProps], str], Any] = {}
_has_unstable_default = PropertyDescriptor.has_unstable_default
_instance_default = PropertyDescriptor.instance_default


def remember_defaults() -> None:
    """Have defaults remembered in this process from now on."""
    _put(_remembered_has_unstable_default, _remembered_default)


def forget_defaults() -> None:
    """Have every default found anew again, as Bokeh does it."""
    _put(_has_unstable_default, _instance_default)
    _may_differ.clear()
    _defaults.clear()


def _put(has_unstable_default: Any, instance_default: Any) -> None:
    parts = {"has_unstable_default": has_unstable_default, "instance_default": instance_default}
    for name, function in parts.items():
        setattr(PropertyDescriptor, name, function)


def _remembered_has_unstable_default(self: PropertyDescriptor[Any], obj: HasProps) -> bool:
    """Whether each model of the class has a default of its own: a list, a table, another model."""
    key = (obj.__class__, self.name)
    found = _may_differ.get(key)
    if found is None:
        found = _may_differ[key] = bool(_has_unstable_default(self, obj))
    return found


def _remembered_default(self: PropertyDescriptor[Any], obj: HasProps) -> Any:
    """The default itself, where it is plain and no theme has its say."""
    if obj.themed_values() is not None:
        return _instance_default(self, obj)
    key = (obj.__class__, self.name)
    found = _defaults.get(key, _NOTHING)
    if found is _NOTHING:
        found = _instance_default(self, obj)
        if isinstance(found, PLAIN) and not self.has_unstable_default(obj):
            _defaults[key] = found
    return found
