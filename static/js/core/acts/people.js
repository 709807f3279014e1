// Twin of timers/core/acts/people.py: the rules and their sources are explained there.

export const PHONE = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
