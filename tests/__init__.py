"""Tests of claybench, with what several of them share."""
