"""From syntax nodes to a Stage: what each line means, and what is doubtful in it.

`section.build` gives the order of the work:

    lines, channels, sister_lines     every line with its channel, copies written out
    declare, parts                    what each part is; its words in `wording words
                                      kindwords values pinout`
    connect, chains, names, joints    where its pins go
    records                           grounds, rails, rests, driven nets, links
    settle                            parts with their nets, breaks, untraced pins
    states, log                       states; readings and events, with `conditions`
                                      and `displays`

`desk` holds what has been understood so far, and the problems.
"""
