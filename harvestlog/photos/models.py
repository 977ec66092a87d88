"""A photo's record, which travels with the others, and the file it names, which follows when the line is good enough."""

from django.db import models

from harvestlog.accounts.records import FarmRecord


class Photo(FarmRecord):
    block = models.UUIDField()
    flush = models.PositiveSmallIntegerField(null=True)
    pick = models.UUIDField(null=True)
    stage = models.CharField(max_length=20)
    taken = models.DateTimeField()
    sha256 = models.CharField(max_length=64)
    thumb_sha256 = models.CharField(max_length=64)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    note = models.TextField()

    class Meta(FarmRecord.Meta):
        # Every picture that is sent or looked at is first searched for by its name.
        indexes = [
            models.Index(fields=["farm", "sha256"], name="photo_by_sha256"),
            models.Index(fields=["farm", "thumb_sha256"], name="photo_by_thumb_sha256"),
        ]


class PhotoFile(models.Model):
    """One picture on the server's disk. `sha256` is what the phone sent and what records name it by;
    `kept_sha256` is the hash of the cleaned file as it lies on the disk."""

    farm = models.ForeignKey("accounts.Farm", on_delete=models.CASCADE, related_name="+")
    sha256 = models.CharField(max_length=64)
    kept_sha256 = models.CharField(max_length=64)
    name = models.CharField(max_length=200)
    size = models.PositiveIntegerField()
    made = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["farm", "sha256"], name="photofile_once_a_farm")]

    def __str__(self) -> str:
        return self.name
