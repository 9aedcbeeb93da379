"""Lists of the API that grow, a page at a time."""

from typing import Any

from rest_framework.pagination import PageNumberPagination
from rest_framework.response import Response


class LinkedPages(PageNumberPagination):
    """`?page=2` is the second page. An answer stays a list; its header `Link` says where the next
    and the previous page are (RFC 8288), and `X-Total-Count` how much there is in all.
    """

    page_size = 200

    def get_paginated_response(self, data: Any) -> Response:
        around = {"next": self.get_next_link(), "prev": self.get_previous_link()}
        links = ", ".join(f'<{url}>; rel="{name}"' for name, url in around.items() if url)
        total = {"X-Total-Count": str(self.page.paginator.count if self.page else len(data))}
        return Response(data, headers=total | ({"Link": links} if links else {}))
