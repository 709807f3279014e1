"""Addresses and views."""
