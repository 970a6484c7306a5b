"""What many jobs share: rule sets and profile systems."""

from collections import ChainMap
from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property
from typing import ClassVar, Self

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from jobs.models.people import Person
from jobs.models.record import EVERY_FIELD, Record, known
from jobs.rule_texts import read_rules
from jobs.rules import Rule, Rules


class SharedQuerySet(models.QuerySet):
    """Records of the firm, not of a job: everybody who is signed in may read them."""

    def visible_to(self, person: Person) -> Self:
        return self if person.acting_roles else self.none()


class RuleSetQuerySet(SharedQuerySet):
    def newest_first(self) -> Self:
        return self.order_by("-issued_on", "-name")


class RuleSet(Record):
    """A dated set of limits as it stood when it was loaded; never changed, only followed.

    A job keeps the set it was decided under; for a rule that this set does not know, the newest
    set of its `family` decides.
    """

    name = models.CharField(max_length=60, unique=True)
    family = models.CharField(max_length=60)
    title = models.CharField(max_length=160)
    issued_on = models.DateField()
    sha256 = models.CharField(max_length=64, unique=True)
    text = models.TextField(help_text="The complete TOML text: every rule with its value.")

    objects = RuleSetQuerySet.as_manager()

    def __str__(self) -> str:
        return self.name

    @property
    def rules(self) -> Rules:
        """A new reading each time: it keeps what it borrowed from newer sets of the family."""
        return replace(read_rules(self.text), of_family=lambda: self.rules_of_family)

    @cached_property
    def rules_of_family(self) -> Mapping[str, Rule]:
        """Every rule that a set of the family has, as the newest set that has it decides it."""
        family = RuleSet.objects.filter(family=self.family).newest_first()
        return ChainMap(*(dict(read_rules(rule_set.text).rules) for rule_set in family))


class ProfileSystemMaterial(models.TextChoices):
    """What frames are made of; PVC-U that is not white grows hotter, and moves more."""

    ALUMINIUM = "aluminium", _("Aluminium")
    PVC_U_WHITE = "pvc_u_white", _("PVC-U, white")
    PVC_U_COLOURED = "pvc_u_coloured", _("PVC-U, not white")
    TIMBER = "timber", _("Timber")


class ProfileSystemSashes(models.TextChoices):
    """How sashes come."""

    HUNG = "hung", _("hung in the frame")
    LOOSE = "loose", _("loose, beside the frame")


class ProfileSystemGlass(models.TextChoices):
    """How glass comes."""

    LOOSE = "loose", _("loose, to be glazed on site")
    FITTED = "fitted", _("fitted in the sashes")


class ProfileSystem(Record):
    """The make-up of a family of doorsets that leaf sizes, masses and limits follow from.

    Sizes in mm, masses in kg, `*_mass_per_metre` in kg/m, `frame_u` in W/(m2 K), `psi` in W/(m K).
    `reinforced`: whether steel is inside profiles of PVC-U, which then move less.
    `sashes` and `glass` say how a doorset comes, and so what a crew lifts in one go; `frame_depth`,
    through the wall, is None where nobody has said.
    """

    Material = ProfileSystemMaterial

    Sashes = ProfileSystemSashes

    Glass = ProfileSystemGlass

    name = models.CharField(max_length=80, unique=True)
    material = models.CharField(max_length=14, choices=Material.choices, default=Material.ALUMINIUM)
    reinforced = models.BooleanField(default=False)
    frame_face = models.FloatField()
    frame_depth = models.FloatField(null=True, blank=True)
    sash_face = models.FloatField()
    leaf_gap = models.FloatField()
    glass_edge_cover = models.FloatField()
    frame_mass_per_metre = models.FloatField()
    sash_mass_per_metre = models.FloatField()
    hardware_mass_per_leaf = models.FloatField()
    sashes = models.CharField(max_length=5, choices=Sashes.choices, default=Sashes.HUNG)
    glass = models.CharField(max_length=6, choices=Glass.choices, default=Glass.LOOSE)
    largest_leaf_width = models.FloatField()
    largest_leaf_height = models.FloatField()
    largest_leaf_mass = models.FloatField()
    carrier_adjustment_range = models.FloatField()
    lift_per_turn = models.FloatField()
    removable_track_end = models.FloatField()
    head_fixing = models.JSONField(help_text='Any of "through_track", "in_channel".')
    toe_and_heel_device = models.BooleanField()
    frame_u = models.FloatField()
    psi = models.FloatField()
    choices = models.JSONField(
        default=dict,
        help_text="What may be ordered: lists under colours, handles, thresholds, ventilators.",
    )

    may_change: ClassVar = EVERY_FIELD
    objects = SharedQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.CheckConstraint(
                condition=known("material", ProfileSystemMaterial),
                name="profile_material_is_known",
            ),
            models.CheckConstraint(
                condition=known("glass", ProfileSystemGlass) & known("sashes", ProfileSystemSashes),
                name="profile_delivery_is_known",
            ),
            models.CheckConstraint(
                condition=Q(
                    frame_face__gt=0,
                    sash_face__gt=0,
                    leaf_gap__gte=0,
                    glass_edge_cover__gte=0,
                    largest_leaf_width__gt=0,
                    largest_leaf_height__gt=0,
                    largest_leaf_mass__gt=0,
                ),
                name="profile_sizes_are_positive",
            ),
            models.CheckConstraint(
                condition=Q(
                    carrier_adjustment_range__gte=0,
                    lift_per_turn__gt=0,
                    removable_track_end__gte=0,
                    frame_u__gt=0,
                    psi__gte=0,
                ),
                name="profile_running_gear_is_sound",
            ),
            models.CheckConstraint(
                condition=Q(
                    frame_mass_per_metre__gt=0,
                    sash_mass_per_metre__gt=0,
                    hardware_mass_per_leaf__gte=0,
                ),
                name="profile_masses_are_positive",
            ),
        )

    def __str__(self) -> str:
        return self.name
