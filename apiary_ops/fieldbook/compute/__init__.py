"""Reading what a phone sent, pure: the record on the wire, and the values inside its payload."""

from .payload import Payload, Unreadable
from .wire import AS_SENT, NO_DEVICE, Sent, read_record

__all__ = ["AS_SENT", "NO_DEVICE", "Payload", "Sent", "Unreadable", "read_record"]
