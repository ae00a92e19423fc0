"""The first tables: facts and their chains, accounts, devices, sessions, invites."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make them."""
    op.create_table(
        "facts",
        sa.Column("job", sa.String(36), primary_key=True),
        sa.Column("seq", sa.BigInteger, primary_key=True, autoincrement=False),
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("kind", sa.String(40), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("day", sa.String(10), nullable=False),
        sa.Column("account", sa.Text, nullable=False),
        sa.Column("device", sa.Text, nullable=False),
        sa.Column("received_at", sa.Text, nullable=False),
        sa.Column("fact", sa.Text, nullable=False),
        sa.Column("before", sa.String(64), nullable=False),
        sa.Column("hash", sa.String(64), nullable=False),
    )
    op.create_index("facts_by_id", "facts", ["job", "id"], unique=True)
    op.create_index("facts_by_day", "facts", ["job", "day", "seq"])
    op.create_index("facts_by_kind", "facts", ["job", "kind", "seq"])
    op.create_table(
        "heads",
        sa.Column("job", sa.String(36), primary_key=True),
        sa.Column("seq", sa.BigInteger, nullable=False),
        sa.Column("hash", sa.String(64), nullable=False),
    )
    op.create_table(
        "accounts",
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("name", sa.Text, nullable=False, unique=True),
        sa.Column("role", sa.String(20), nullable=False),
        sa.Column("hash", sa.Text, nullable=False),
        sa.Column("made", sa.String(27), nullable=False),
    )
    op.create_table(
        "devices",
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("account", sa.Text, sa.ForeignKey("accounts.id"), nullable=False, index=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("joined", sa.String(27), nullable=False),
        sa.Column("revoked", sa.String(27)),
    )
    op.create_table(
        "sessions",
        sa.Column("token_hash", sa.String(64), primary_key=True),
        sa.Column("device", sa.Text, sa.ForeignKey("devices.id"), nullable=False, index=True),
        sa.Column("expires", sa.String(27), nullable=False, index=True),
        sa.Column("csrf", sa.Text, nullable=False),
    )
    op.create_table(
        "invites",
        sa.Column("token_hash", sa.String(64), primary_key=True),
        sa.Column("role", sa.String(20), nullable=False),
        sa.Column("account", sa.Text, sa.ForeignKey("accounts.id"), nullable=False),
        sa.Column("expires", sa.String(27), nullable=False),
        sa.Column("used", sa.String(27)),
    )
