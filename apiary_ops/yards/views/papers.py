from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from apiary_ops.core.answers import pdf_file
from apiary_ops.yards import papers, queries


@require_safe
def yard_sheet(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    paper = papers.yard_sheet_pdf(yard.pk, season_id=request.season.pk, printed_on=request.today)
    return pdf_file(paper, f"{yard.code}-{request.today:%Y-%m-%d}")
