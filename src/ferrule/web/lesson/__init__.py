"""The lesson as it runs: eight screens under one lesson, in any order, each of them skippable; nothing is ever lost.

`held` gathers what every screen needs, `frame` draws the line of steps and the way on, and each screen is a module.
"""
