"""An answer leaves whole at once: no pause between its head and its body."""

from __future__ import annotations

import asyncio
import socket
from concurrent.futures import ThreadPoolExecutor

from rillwright.app.serving import _listening


def test_what_is_accepted_does_not_wait_for_more_to_send() -> None:
    """TCP_NODELAY is set: without it small segments wait until the last one is acknowledged (RFC 1122, 4.2.3.4)."""

    async def accepted() -> int:
        found: asyncio.Future[int] = asyncio.get_running_loop().create_future()

        def told(_: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            asked = writer.get_extra_info("socket")
            found.set_result(asked.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
            writer.close()

        listening = _listening("127.0.0.1", 0)
        async with await asyncio.start_server(told, sock=listening):
            _, writer = await asyncio.open_connection(*listening.getsockname())
            answer = await asyncio.wait_for(found, 10.0)
            writer.close()
            await writer.wait_closed()
        return answer

    with ThreadPoolExecutor(1) as aside:  # a browser of an earlier test may hold this thread's loop
        assert aside.submit(asyncio.run, accepted()).result() != 0
