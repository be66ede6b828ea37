"""The service put together, and run until it is stopped."""

from __future__ import annotations

import socket
import ssl
from collections.abc import Callable
from pathlib import Path

import uvicorn
from fastapi import APIRouter, FastAPI
from fastapi.exceptions import RequestValidationError
from fastapi.middleware.gzip import GZipMiddleware
from fastapi.telemetry import TelemetryConfig
from msgspec import Struct
from starlette.exceptions import HTTPException

from rillwright import __version__
from rillwright.app import access_routes, answers, day_routes, job_routes, pages, photo_routes, visit_routes
from rillwright.app.access import Access
from rillwright.app.guard import App, Guard
from rillwright.app.house import House
from rillwright.app.requests import Refused
from rillwright.errors import InputError, NoAnswer, OutputError, Problem

PORT = 8321
_NOWHERE = ("192.0.2.1", 9)  # an address of no machine (RFC 5737); to name it sends nothing


_TOLD_TO_NOBODY: TelemetryConfig = {  # whatever the machine is set up for
    "tracing": False,
    "metrics": False,
    "logs": False,
    "operation_spans": False,
    "auto_configure": False,
}


class Served(Struct, frozen=True, kw_only=True):
    """Where the service is reached: from this machine, and from others if it is; the link that pairs the first one."""

    here: str
    elsewhere: str
    link: str


def make_app(folder: Path, *, lan: bool = False, address: str = "", access: Access | None = None) -> App:
    """The service of a folder as an ASGI application.

    Parameters
    ----------
    folder
        The folder of the jobs, or of one job.
    lan
        Whether other devices may come in, once they are paired.
    address
        Where they reach it, for the square to scan.
    access
        The devices that are paired; else those of the folder.
    """
    access = Access(folder) if access is None else access
    app = FastAPI(
        title="Rillwright",
        version=__version__,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        telemetry=_TOLD_TO_NOBODY,
    )
    app.state.house = House(folder, access)
    app.state.address = address
    api = APIRouter(prefix="/api", responses={"4XX": {"model": Refused}, "5XX": {"model": Refused}})
    for routes in (visit_routes, job_routes, photo_routes, day_routes, access_routes):
        api.include_router(routes.router)
    app.include_router(api)
    app.include_router(access_routes.here)
    app.include_router(pages.router)
    app.add_middleware(GZipMiddleware, minimum_size=1000, compresslevel=5)
    for kind, handler in (
        (answers.Refusal, answers.on_refusal),
        (InputError, answers.on_input),
        (NoAnswer, answers.on_no_answer),
        (OutputError, answers.on_output),
        (RequestValidationError, answers.on_sent),
        (HTTPException, answers.on_http),
        (Exception, answers.on_crash),
    ):
        app.add_exception_handler(kind, handler)
    return Guard(app, access, lan=lan)


def serve(
    folder: Path,
    *,
    port: int = PORT,
    lan: bool = False,
    certificate: tuple[Path, Path] | None = None,
    told: Callable[[Served], None],
) -> None:
    """Serve a folder until it is stopped; `told` is called once it can be reached.

    Parameters
    ----------
    folder
        The folder of the jobs, or of one job.
    port
        Where it listens [-]; 0: anywhere.
    lan
        Whether other devices of the network may come in, once they are paired.
    certificate
        Files of a certificate and of its key, for https.
    told
        What to do once it can be reached.

    Raises
    ------
    InputError
        If there is no such folder, or the certificate cannot be used.
    OutputError
        If the port is taken.
    """
    if not folder.is_dir():
        raise InputError(Problem(message="is no folder", file=str(folder)))
    access = Access(folder)
    access.devices()  # what is wrong with their file is said now
    _check(certificate)
    listening = _listening("0.0.0.0" if lan else "127.0.0.1", port)
    found = listening.getsockname()[1]
    scheme = "http" if certificate is None else "https"
    address = f"{scheme}://{_address()}:{found}" if lan else ""
    config = uvicorn.Config(
        make_app(folder, lan=lan, address=address, access=access),
        http="h11",
        ws="none",
        lifespan="off",
        log_config=None,
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=200,
        timeout_graceful_shutdown=5,
        ssl_certfile=None if certificate is None else str(certificate[0]),
        ssl_keyfile=None if certificate is None else str(certificate[1]),
    )
    link = access_routes.pairing_link(address, access.new_code()) if lan else ""
    told(Served(here=f"{scheme}://localhost:{found}", elsewhere=address, link=link))
    uvicorn.Server(config).run(sockets=[listening])


def _check(certificate: tuple[Path, Path] | None) -> None:
    if certificate is None:
        return
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(*certificate)
    except (OSError, ssl.SSLError) as error:
        raise InputError(Problem(message=f"cannot be used: {error}", file=str(certificate[0]))) from error


def _listening(host: str, port: int) -> socket.socket:
    # with its protocol named, what is accepted answers without delay: else asyncio leaves 40 ms between head and body
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    if not hasattr(socket, "SO_EXCLUSIVEADDRUSE"):  # elsewhere it would let two programs share a port
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        found.bind((host, port))
        found.listen(128)
    except (OSError, OverflowError) as error:
        found.close()
        reason = getattr(error, "strerror", None) or str(error)
        raise OutputError(f"port {port}: cannot be listened at: {reason}; name another one with --port") from error
    return found


def _address() -> str:
    """This machine's address in its network, as other machines see it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(_NOWHERE)
            return str(probe.getsockname()[0])
        except OSError:
            return socket.gethostname()
