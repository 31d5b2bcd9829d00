"""Facts of several notes go in, entries come out: what belongs to what, and which joint of the spec sheet it is."""

from gudgeon.entries.assembler import Assembler
from gudgeon.entries.joint_words import JointWords, joint_words, singular
from gudgeon.entries.joints import (
    ByIdentity,
    Group,
    Match,
    find_joint,
    joint_key,
    joints_of,
    match_joint,
    match_joints,
    same_part,
    tool_size,
)

__all__ = [
    "Assembler",
    "ByIdentity",
    "Group",
    "JointWords",
    "Match",
    "find_joint",
    "joint_key",
    "joint_words",
    "joints_of",
    "match_joint",
    "match_joints",
    "same_part",
    "singular",
    "tool_size",
]
