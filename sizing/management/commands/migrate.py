"""manage.py migrate, as Django has it, with the desk's one line where the database gives up."""

from django.core.management.commands.migrate import Command as Migrate

from sizing.management.desk_command import DeskCommand


class Command(DeskCommand, Migrate):
    help = Migrate.help
    requires_system_checks = Migrate.requires_system_checks
    # It is what sets one up.
    sets_up = False
