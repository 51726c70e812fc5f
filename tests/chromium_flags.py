"""How Chromium is started wherever a test or a measurement needs one."""

_NOT_WANTED = (
    # Chromium reads only the last such list it is given, so what Playwright itself asks for stands here once more.
    *("AvoidUnnecessaryBeforeUnloadCheckSync", "DestroyProfileOnBrowserClose", "HttpsUpgrades"),
    *("HttpsFirstBalancedModeAutoEnable", "LensOverlay", "MediaRouter", "PaintHolding"),
    *("ThirdPartyStoragePartitioning", "AvoidCorsURLLoaderRestartOnRedirect", "TcpPortRandomizationWin"),
    *("OptimizationHints", "NetworkTimeServiceQuerying", "AimEnabled", "PreconnectToSearch"),
    # What drops down from an address bar that nobody sees: two processes a window, a fifth of all work.
    *("WebUIOmniboxPopup", "WebUIOmniboxAimPopup"),
)
FLAGS = [
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    f"--disable-features={','.join(_NOT_WANTED)}",
]
