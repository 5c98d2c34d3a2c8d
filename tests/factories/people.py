import factory

from apiary_ops.people.models import Role, User


class UserFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = User
        skip_postgeneration_save = True

    username = factory.Sequence(lambda n: f"hand-{n}")
    full_name = factory.LazyAttribute(lambda user: user.username.replace("-", " ").title())
    role = Role.OWNER
    # No usable password; tests sign in by force_login.
    password = "!"

    class Params:
        office = factory.Trait(role=Role.OFFICE)
        crew = factory.Trait(role=Role.CREW)
        gate = factory.Trait(role=Role.GATE)
        bookkeeper = factory.Trait(role=Role.BOOKKEEPER)
