"""Signed notes and checkpoints beside published ones."""

import base64

import pytest

from jobs.checkpoints import (
    PrivateKey,
    PublicKey,
    UnreadableCheckpoint,
    read_checkpoint,
)

# published: the example of the signed note's reference package, and of C2SP signed-note
KEY = "PeterNeumann+c74f20a3+ARpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TW"
TEXT = (
    "If you think cryptography is the answer to your problem,\n"
    "then you don't know what your problem is.\n"
)
SIGNATURE = (
    "x08go/ZJkuBS9UG/SffcvIAQxVBtiFupLLr8pAcElZInNIuGUgYN1FFYC2pZSNXgKvqfqdngotpRZb6KE6RyyBwJnAM="
)
# published: RFC 8032 section 7.1, test 1
SEED = "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"
PUBLIC = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"


@pytest.fixture(scope="module")
def key() -> PrivateKey:
    return PrivateKey("records.example.com/journal", bytes.fromhex(SEED))


def test_a_published_key_and_the_signature_of_it():
    key = PublicKey.read(KEY)
    content = base64.b64decode(SIGNATURE)
    assert (key.name, key.hash) == ("PeterNeumann", content[:4])
    assert key.has_signed(TEXT, content[4:])
    assert not key.has_signed(TEXT.replace("answer", "enemy"), content[4:])


def test_a_private_key_has_the_public_key_of_the_standard(key):
    assert key.public.key.hex() == PUBLIC
    assert PrivateKey.read(key.written()) == key
    assert PublicKey.read(str(key.public)) == key.public


def test_a_checkpoint_is_written_as_the_standard_writes_it(key):
    note = key.sign(15368405, bytes(32))
    origin, size, root, blank, signature, end = note.split("\n")
    assert (origin, size, blank, end) == ("records.example.com/journal", "15368405", "", "")
    assert base64.b64decode(root) == bytes(32)
    assert signature.startswith("\N{EM DASH} records.example.com/journal ")


def test_what_was_signed_is_read_back_and_known_by_its_key(key):
    checkpoint = read_checkpoint(key.sign(7, b"r" * 32))
    assert (checkpoint.origin, checkpoint.size, checkpoint.root) == (key.name, 7, b"r" * 32)
    assert checkpoint.is_signed_by(key.public)
    assert not checkpoint.is_signed_by(PrivateKey.made(key.name).public)


def test_a_note_with_extension_lines_and_signatures_of_witnesses_is_read(key):
    note = key.sign(7, b"r" * 32)
    witness = PrivateKey.made("witness.example.com").sign(7, b"r" * 32).splitlines()[-1]
    assert read_checkpoint(f"{note}{witness}\n").is_signed_by(key.public)
    extended = note.replace("\n\n", "\nsaid besides\n\n")
    assert read_checkpoint(extended).body.endswith("said besides\n")
    assert not read_checkpoint(extended).is_signed_by(key.public)


def test_two_roots_of_one_size_contradict_each_other(key):
    first, second = (read_checkpoint(key.sign(7, root * 32)) for root in (b"r", b"s"))
    assert first.contradicts(second)
    assert not first.contradicts(first)
    assert not first.contradicts(read_checkpoint(key.sign(8, b"s" * 32)))


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ("\n\n", "\n", "empty line"),
        ("\n7\n", "\n07\n", "whole number"),
        ("\n7\n", "\n\N{SUPERSCRIPT TWO}\n", "whole number"),
        ("\n7\n", "\n-7\n", "whole number"),
        ("cnJyc", "cnJy", "root"),
        ("cnJyc", "*nJyc", "base64"),
        ("\N{EM DASH} ", "- ", "signature"),
    ],
)
def test_a_text_that_is_no_checkpoint_is_refused_by_what_is_wrong(key, old, new, why):
    note = key.sign(7, b"r" * 32)
    assert old in note
    with pytest.raises(UnreadableCheckpoint, match=why):
        read_checkpoint(note.replace(old, new, 1))


@pytest.mark.parametrize(
    "text", ["", "name", "name+00+AA==", KEY.replace("c74f", "c74e"), KEY.replace("ARpc", "Arpc")]
)
def test_a_text_that_is_no_key_is_refused(text):
    with pytest.raises(UnreadableCheckpoint):
        PublicKey.read(text)
    with pytest.raises(UnreadableCheckpoint):
        PrivateKey.read("PRIVATE+KEY+" + text)
