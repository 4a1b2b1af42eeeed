"""A load: clients that together post so many jobs, and what they were told as a history."""

import random

from harness.clients import PATIENCE, Client, Common
from harness.history import History
from harness.shop import Shop
from harness.signing import Signer


class Load(Common):
    """Posts `total` jobs with several clients."""

    def __init__(
        self, addresses: list[str], total: int, seed: int, clients: int = 4, keyed: bool = True, pause: float = 0.0
    ):
        with Shop(addresses[0]) as shop:
            signer = Signer(shop).secret
        super().__init__(addresses, total, signer, keyed, pause)
        self.clients = [Client(self, random.Random(seed * 1000 + number)) for number in range(clients)]

    def start(self) -> "Load":
        for client in self.clients:
            client.start()
        return self

    def join(self, patience: float = PATIENCE) -> History:
        for client in self.clients:
            client.join(patience)
            assert not client.is_alive(), f"{client.name} is still at it"
            assert client.failed is None, client.failed
        return self.history
