"""What the lists of the books can be sifted by."""

import django_filters

from .models import LeastStems


class LeastStemsFilter(django_filters.FilterSet):
    """Nothing to sift."""

    class Meta:
        model = LeastStems
        fields = ()
